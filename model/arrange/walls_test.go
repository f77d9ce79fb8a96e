package arrange

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"bayhand/model/layout"
	"bayhand/model/studio"
)

// twoRooms is a live room and a control room with a bay each and ties between them, whose
// cables are not wired yet, and gear of both that sessions join.
func twoRooms(t *testing.T, random *rand.Rand, pairs int, together bool) Request {
	t.Helper()
	var file strings.Builder
	fmt.Fprint(&file, "studio: Two rooms\ngear:\n")
	for _, room := range []string{"live", "mix"} {
		for n := range 3 {
			fmt.Fprintf(&file, "  %s%d: {channels: 2, line: pro-line}\n", room, n)
		}
	}
	fmt.Fprintf(&file, "bays:\n  wall: {pairs: %d, modes: isolated}\n  desk: {pairs: %d, modes: isolated}\n", pairs, pairs)
	fmt.Fprintf(&file, "ties:\n  - wall/b1-2 = desk/t1-2\n")
	fmt.Fprint(&file, "rooms:\n  live: [live0, live1, live2, wall]\n  mix: [mix0, mix1, mix2, desk]\n")
	if together {
		fmt.Fprint(&file, "together: [[live, mix]]\n")
	}
	s := readStudio(t, file.String())
	q := Request{Studio: s, Tidy: 5, Moves: -1, Effort: 1}
	for n := range 3 {
		q.Sessions = append(q.Sessions, Weighted{drawnSession(s, random, fmt.Sprintf("take-%d", n)), 1})
	}
	return q
}

// through are the cables that a studio has through walls.
func through(s *studio.Studio) (all []studio.Wire) {
	walls := layout.NewWalls(s)
	for _, w := range s.Wires {
		if walls.Between(w.From.Owner, w.To.Owner) {
			all = append(all, w)
		}
	}
	return all
}

// No proposal has a cable through a wall between two rooms: in a studio that is not wired
// yet and in one that is, with room on the bays and without. Where the rooms stand together
// there is no wall.
func TestNoCableThroughAWall(t *testing.T) {
	crossed := 0
	for seed := range uint64(2) {
		random := rand.New(rand.NewPCG(seed, 3))
		for _, pairs := range []int{7, 10} {
			q := twoRooms(t, random, pairs, false)
			for turn := range 2 { // not wired yet, then as it was proposed
				l, err := Lay(q)
				if err != nil {
					t.Fatalf("seed %d, %d pairs: %v", seed, pairs, err)
				}
				s := l.Apply()
				if bad := through(s); len(bad) > 0 {
					t.Errorf("seed %d, %d pairs: %v go through a wall", seed, pairs, bad)
				}
				if turn == 0 && pairs == 7 && len(l.Left()) == 0 {
					t.Errorf("seed %d: six outputs find room on five columns", seed)
				}
				if pairs > 7 && len(l.Left()) > 0 {
					t.Errorf("seed %d, %d pairs: left out are %v", seed, pairs, l.Left())
				}
				q.Studio = s
			}
			open := twoRooms(t, random, pairs, true)
			if l, err := Lay(open); err == nil {
				s := l.Apply()
				s.Together = nil
				crossed += len(through(s))
			}
		}
	}
	if crossed == 0 {
		t.Error("where rooms stand together nothing comes to the bay of the other either: the test shows nothing")
	}
}

// Nor has what a hand exchanges: it is refused, and the refusal says which cable.
func TestNoExchangeThroughAWall(t *testing.T) {
	q := twoRooms(t, rand.New(rand.NewPCG(1, 3)), 10, false)
	l, err := Lay(q)
	if err != nil {
		t.Fatal(err)
	}
	refused, made := 0, 0
	columns := len(l.Columns())
	for a := range columns {
		for b := a + 1; b < columns; b++ {
			next, err := l.Exchanged(q, a, b, 1, BothRows)
			switch {
			case err != nil && strings.Contains(err.Error(), "through a wall between rooms"):
				refused++
			case err == nil:
				made++
				if bad := through(next.Apply()); len(bad) > 0 {
					t.Errorf("%d and %d have changed places: %v go through a wall", a, b, bad)
				}
			}
		}
	}
	if refused == 0 || made == 0 {
		t.Errorf("of %d columns %d exchanges are refused and %d made", columns, refused, made)
	}
}
