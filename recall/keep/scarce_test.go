package keep_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// scarce is a studio of a few rooms, in every other one of which a cord has to be long,
// with fewer cords than all of them could use.
type scarce struct {
	rooms    int
	studio   string
	sessions map[string]string
	// names are the sessions of each room.
	names [][]string
	owned map[measure.Length]int
}

func drawScarce(draw *rand.Rand) scarce {
	s := scarce{rooms: 2 + draw.IntN(3), sessions: map[string]string{}, owned: map[measure.Length]int{}}
	var gear, bays, wiring, rooms []string
	for r := range s.rooms {
		far := 10 + 65*(r%2)
		gear = append(gear, fmt.Sprintf("  unit%d: {outputs: {out1-3: pro-line}, inputs: {in1-3: pro-line}}\n", r))
		bays = append(bays, fmt.Sprintf("  near%d: {pairs: 3, modes: isolated, at: {x: %d m, y: 0 cm}}\n  far%d: {pairs: 3, modes: isolated, at: {x: %d m, y: %d cm}}\n", r, 5*r, r, 5*r, far))
		wiring = append(wiring, fmt.Sprintf("  - unit%d/out1-3 -> near%d/t1-3\n  - far%d/b1-3 -> unit%d/in1-3\n", r, r, r, r))
		rooms = append(rooms, fmt.Sprintf("room%d: [near%d, far%d]", r, r, r))
		var names []string
		for k := 1; k <= 3; k++ {
			var wants []string
			to := draw.Perm(3)
			for i := range k {
				wants = append(wants, fmt.Sprintf("unit%d/out%d -> unit%d/in%d", r, i+1, r, to[i]+1))
			}
			called := fmt.Sprintf("s%d%d", r, k)
			names = append(names, called)
			s.sessions[called] = fmt.Sprintf("session: %s\nconnect: [%s]\n", strings.ToUpper(called), strings.Join(wants, ", "))
		}
		s.names = append(s.names, names)
	}
	short, long := 1+draw.IntN(s.rooms+1), 1+draw.IntN(s.rooms+1)
	s.owned[60*measure.Centimetre], s.owned[120*measure.Centimetre] = short, long
	s.studio = "studio: Scarce\ngear:\n" + strings.Join(gear, "") + "bays:\n" + strings.Join(bays, "") + "wiring:\n" + strings.Join(wiring, "") +
		"rooms: {" + strings.Join(rooms, ", ") + "}\n" + fmt.Sprintf("cords: {stock: {60 cm: %d, 120 cm: %d}}\n", short, long)
	return s
}

// enough is an error where a patch takes more cords of a length than are owned.
func (s scarce) enough(p patch.Patch) error {
	count := map[measure.Length]int{}
	for _, c := range p.Cords {
		if count[c.Length]++; count[c.Length] > s.owned[c.Length] {
			return fmt.Errorf("more than %d cords of %v: %v", s.owned[c.Length], c.Length, p.Cords)
		}
	}
	return nil
}

// act is one thing that somebody in one of the rooms does.
func (s scarce) act(draw *rand.Rand, now keep.Status) keep.Act {
	r := draw.IntN(s.rooms)
	room := fmt.Sprintf("room%d", r)
	due := dueByHand(now)
	switch n := draw.IntN(12); {
	case n < 5:
		return keep.Act{Do: keep.ToRecall, Session: s.names[r][draw.IntN(3)], Options: keep.RecallOptions{
			Partly: draw.IntN(4) == 0, Instead: draw.IntN(6) == 0, LeaveCords: draw.IntN(6) == 0}}
	case n == 5:
		return keep.Act{Do: keep.ToRecall, Session: keep.RestName, Options: keep.RecallOptions{Room: room}}
	case n == 6:
		return keep.Act{Do: keep.ToUndo, Options: keep.RecallOptions{Room: room}}
	case n == 7 && len(now.Known.Cords) > 0:
		return keep.Act{Do: keep.Pulled, A: now.Known.Cords[draw.IntN(len(now.Known.Cords))].A}
	case len(due) > 0:
		return keep.Act{Do: keep.WereDone, IDs: []string{due[draw.IntN(len(due))]}}
	}
	return keep.Act{Do: keep.ToPreview, Session: s.names[r][draw.IntN(3)]}
}

// dueByHand are the steps that a person can do now.
func dueByHand(s keep.Status) []string {
	left := map[string]bool{}
	for _, one := range s.Left {
		left[one.ID] = true
	}
	var all []string
	for _, one := range s.Left {
		if one.By == plan.Person && !slices.ContainsFunc(one.After, func(id string) bool { return left[id] }) {
			all = append(all, one.ID)
		}
	}
	return all
}

// isEnough is an error where what is in, or is to be, takes more cords than are owned.
func (s scarce) isEnough(now keep.Status) error {
	var err error
	if now.Plan != nil {
		err = s.enough(patch.Patch(now.Plan.Target))
	}
	if says := problem(now, "cords-short"); says != "" {
		err = errors.Join(err, fmt.Errorf("as planned, and it says %q", says))
	}
	return errors.Join(err, s.enough(now.Known.Patch()))
}

// goOn does something in one of the rooms, and counts what came of it.
func (s scarce) goOn(b *bench, draw *rand.Rand, seen map[string]int) error {
	act := s.act(draw, b.status())
	_, err := asked(b.keeper, act)
	var not *keep.NotGivenError
	switch {
	case err == nil:
		seen["done"]++
	case errors.As(err, &not) && len(not.Missing) > 0 && len(not.Missing[0].InUse) > 0:
		seen["in use"]++
	case errors.Is(err, keep.ErrNotGiven), errors.Is(err, keep.ErrConflict):
		seen["refused"]++
	default:
		return fmt.Errorf("%+v: %w", act, err)
	}
	if err := s.isEnough(b.status()); err != nil {
		return fmt.Errorf("%+v: %w", act, err)
	}
	return nil
}

// finish does all that is left, in an order of its own.
func (s scarce) finish(b *bench, draw *rand.Rand) error {
	for {
		due := dueByHand(b.status())
		if len(due) == 0 {
			break
		}
		if err := s.isEnough(b.tick(due[draw.IntN(len(due))])); err != nil {
			return err
		}
	}
	if left := b.status().Left; len(left) > 0 {
		return fmt.Errorf("never done are %s", steps(left))
	}
	return nil
}

// Whatever is recalled in which room, in whatever order and by whatever way: all that is
// to be in together never takes more cords of a length than are owned, nor does what is
// in at any step of the way. BAYHAND_ROOMS says in how many studios.
func TestNoCordIsPromisedTwice(t *testing.T) {
	studios := 8
	if n, err := strconv.Atoi(os.Getenv("BAYHAND_ROOMS")); err == nil {
		studios = n
	}
	seen := map[string]int{}
	for seed := range uint64(studios) {
		draw := rand.New(rand.NewPCG(seed, 11))
		s := drawScarce(draw)
		onRoom(t, s.studio, s.sessions, func(b *bench) {
			for n := range 40 {
				if err := s.goOn(b, draw, seen); err != nil {
					t.Errorf("seed %d, act %d: %v", seed, n, err)
					return
				}
			}
			if err := s.finish(b, draw); err != nil {
				t.Errorf("seed %d, at the end: %v", seed, err)
			}
		})
	}
	if studios >= 8 && (seen["done"] < studios*10 || seen["in use"] == 0) {
		t.Errorf("the acts came to %v", seen)
	}
	t.Log(seen)
}
