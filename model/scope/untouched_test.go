package scope_test

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/scope"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/rooms/buildings"
)

// held is a building of which all rooms but the first are in sessions, with the patch
// that gives these.
type held struct {
	building buildings.Building
	wanted   *session.Session
	holders  []scope.Holder
	in       patch.Patch
}

func holdRooms(t *testing.T, size buildings.Size, seed uint64, free int) held {
	t.Helper()
	h := held{building: buildings.Draw(size, seed)}
	h.wanted = h.building.Sessions[0][0]
	for _, two := range h.building.Sessions[1:] {
		rooms := scope.RoomsOf(h.building.Studio, two[0])
		c := scope.New(h.building.Studio, rooms, two[0], h.holders, h.in)
		inside, outside := c.Split(h.in)
		p := made(t, plan.Request{Studio: c.Studio, From: inside, Session: two[0], Held: c.Held})
		h.in = scope.Join(patch.Patch(p.Target), outside)
		h.holders = append(h.holders, scope.Holder{Session: two[0].Name, Rooms: rooms, Wanted: two[0]})
	}
	h.holders = h.holders[free:]
	return h
}

// cut is the scope of the first room with a patch in, and what is said of every place.
func (h held) cut(p patch.Patch) (*scope.Scope, map[name.Point]bool) {
	s := h.building.Studio
	rooms := scope.Widened(s, scope.RoomsOf(s, h.wanted), h.holders, p)
	c := scope.New(s, rooms, h.wanted, h.holders, p, h.in)
	has := map[name.Point]bool{}
	for _, q := range jacksOf(s) {
		has[q] = c.Has(q)
	}
	for _, m := range s.Matrices {
		for n := 1; n <= m.Outputs; n++ {
			has[m.Out(n)] = c.Has(m.Out(n))
		}
	}
	return c, has
}

func jacksOf(s *studio.Studio) []name.Point {
	var all []name.Point
	for _, b := range s.Bays {
		for n := 1; n <= b.Pairs(); n++ {
			all = append(all, b.TopJack(n), b.BottomJack(n))
		}
	}
	return all
}

// changed is a patch with a few cords, dummies and crosspoints more or fewer, most of
// them within one bay, as hands at it leave it.
func (h held) changed(draw *rand.Rand) patch.Patch {
	s, p := h.building.Studio, h.in.Clone()
	for range 1 + draw.IntN(3) {
		b := s.Bays[draw.IntN(len(s.Bays))]
		far := b
		if draw.IntN(6) == 0 {
			far = s.Bays[draw.IntN(len(s.Bays))]
		}
		switch draw.IntN(5) {
		case 0:
			if len(p.Cords) > 0 {
				i := draw.IntN(len(p.Cords))
				p.Cords = append(p.Cords[:i], p.Cords[i+1:]...)
			}
		case 1, 2:
			p.Cords = append(p.Cords, patch.Cord{A: b.TopJack(1 + draw.IntN(b.Pairs())), B: far.BottomJack(1 + draw.IntN(far.Pairs()))})
		case 3:
			p.Dummies = append(p.Dummies, b.BottomJack(1+draw.IntN(b.Pairs())))
		case 4:
			m := s.Matrices[draw.IntN(len(s.Matrices))]
			p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: m.Out(1 + draw.IntN(m.Outputs)), Input: m.In(1 + draw.IntN(m.Inputs))})
		}
	}
	return p
}

// What is said to leave a cut as it is does: the studio that is cut, what is held, and
// what a plan may touch are the same when all is cut anew.
func TestUntouchedCutIsTheSame(t *testing.T) {
	sure, not := 0, 0
	for seed := range uint64(4) {
		size := buildings.Size{Rooms: 4, Matrices: 2, Pairs: 28, Units: 2}
		if seed == 3 {
			size.Owned = 60
		}
		h := holdRooms(t, size, seed, int(seed%2))
		c, has := h.cut(h.in)
		draw := rand.New(rand.NewPCG(seed, 7))
		for range 60 {
			p := h.changed(draw)
			if !c.Untouched(h.in, p) {
				not++
				continue
			}
			sure++
			anew, hasNow := h.cut(p)
			if diff := cmp.Diff(c.Studio, anew.Studio); diff != "" {
				t.Fatalf("seed %d: another studio:\n%s", seed, diff)
			}
			if diff := cmp.Diff(c.Held, anew.Held); diff != "" {
				t.Fatalf("seed %d: another list of what is held:\n%s", seed, diff)
			}
			if diff := cmp.Diff(has, hasNow); diff != "" {
				t.Fatalf("seed %d: another scope:\n%s", seed, diff)
			}
		}
	}
	if sure < 20 || not < 20 {
		t.Errorf("%d are said to be the same and %d not: neither may be rare", sure, not)
	}
}

// A cord in a room that a session has alters nothing elsewhere. One in the room of the
// scope, one to a line that rooms share, one in a room that nobody has, and one of a stock
// that has few may.
func TestWhatMayAlterACut(t *testing.T) {
	h := holdRooms(t, buildings.Size{Rooms: 3, Matrices: 1, Pairs: 28, Units: 2}, 1, 0)
	s := h.building.Studio
	c, _ := h.cut(h.in)
	with := func(a, b name.Point) patch.Patch {
		p := h.in.Clone()
		p.Cords = append(p.Cords, patch.Cord{A: a, B: b})
		return p
	}
	inRoom := func(room string) (all []name.Point) { // jacks from which no line leads out
		for _, j := range jacksOf(s) {
			shared := false
			for _, tie := range s.Ties {
				shared = shared || tie.A == j || tie.B == j
			}
			if scope.RoomOf(s, j) == room && !shared {
				all = append(all, j)
			}
		}
		return all
	}
	own, other := inRoom(c.Rooms[0]), inRoom(h.holders[0].Rooms[0])
	line := s.Ties[0].A
	if !c.Untouched(h.in, with(other[0], other[1])) {
		t.Error("a cord in another room is said to alter the cut")
	}
	if c.Untouched(h.in, with(own[0], own[1])) || c.Untouched(h.in, with(other[0], own[0])) || c.Untouched(h.in, with(other[0], line)) {
		t.Error("a cord in the room, into it or in a shared line is said to alter nothing")
	}
	few := *s
	few.Stock.Unlimited = false
	one := scope.New(&few, c.Rooms, h.wanted, h.holders, h.in, h.in)
	if one.Untouched(h.in, with(other[0], other[1])) {
		t.Error("a cord of a small stock is said to alter nothing")
	}
	nobody := scope.New(s, c.Rooms, h.wanted, nil, h.in, h.in)
	if nobody.Untouched(h.in, with(other[0], other[1])) {
		t.Error("a cord in a room that no session has is said to alter nothing")
	}
}
