//go:build !race

package planner_test

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// scarce is a room in which something may be lacking.
type scarce struct {
	room    *heard.Room
	present patch.Patch
	session *session.Session
}

// drawScarce draws a room in which something is scarce, a tiny one with jacks that are tagged
// faulty, or a home from which half of the cords and some dummies were taken.
func drawScarce(t *testing.T, seed uint64) scarce {
	t.Helper()
	switch seed % 4 {
	case 0:
		r := drawTight(t, seed+11e6)
		return scarce{heard.NewRoom(r.studio), r.present, r.session}
	case 1, 2:
		r := drawTiny(seed + 11e6)
		tagFaulty(r.studio, rand.New(rand.NewPCG(seed, 0x666c74)))
		return scarce{heard.NewRoom(r.studio), r.present, r.session}
	}
	return drawScarceHome(seed)
}

func tagFaulty(s *studio.Studio, r *rand.Rand) {
	for _, jack := range tinyJacks(s) {
		if r.IntN(3) == 0 {
			s.Faulty = append(s.Faulty, jack)
		}
	}
}

// takeCords takes 40 to 85 % of the cords away, and in one home of three some dummies.
func takeCords(s *studio.Studio, r *rand.Rand) {
	share := 0.4 + 0.45*r.Float64()
	if r.IntN(3) == 0 {
		s.Dummies = r.IntN(3)
	}
	s.Stock.Cords = slices.Clone(s.Stock.Cords)
	for i := range s.Stock.Cords {
		for range s.Stock.Cords[i].Count {
			if r.Float64() < share {
				s.Stock.Cords[i].Count--
			}
		}
	}
}

// What would make a session possible is found by any plan, where nobody asks for the best: the
// causes and the words are those that whole plans give. BAYHAND_ROOMS says in how many rooms.
func TestAnyPlanSaysWhatWouldDo(t *testing.T) {
	refused, mended, added := 0, 0, 0
	for seed := range tinyRooms(t, 120) {
		r := drawScarce(t, seed)
		o := planner.Options{Prefer: plan.PreferFewest}
		p, err := planner.Find(t.Context(), r.room, r.present, r.session, o)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if p.Given {
			continue
		}
		refused++
		for _, m := range p.Missing {
			mended += min(1, len(m.Mended))
			added += min(1, len(m.Enough))
		}
		whole, err := planner.FindWithWholePlans(t.Context(), r.room, r.present, r.session, o)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if !reflect.DeepEqual(p.Missing, whole.Missing) {
			t.Errorf("seed %d: %+v, and with whole plans %+v", seed, p.Missing, whole.Missing)
		}
	}
	t.Logf("%d refused, of what is missing %d with jacks to mend, %d with additions", refused, mended, added)
	if refused < 30/planner.Share || mended < 4/planner.Share || added < 15/planner.Share {
		t.Errorf("%d refused, %d with jacks to mend, %d with additions prove too little", refused, mended, added)
	}
}

// As many wants and silences as counting says at least have to be left out: no fewer are
// enough, and mostly so many are.
func TestLeastLeftOut(t *testing.T) {
	counted, same := 0, 0
	for seed := range tinyRooms(t, 120) {
		r := drawScarce(t, seed)
		least, fewest, err := planner.LeftOut(t.Context(), r.room, r.present, r.session)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if least == 0 || fewest == 0 {
			continue
		}
		counted++
		switch {
		case least > fewest:
			t.Errorf("seed %d: %d are enough to leave out, and by counting at least %d", seed, fewest, least)
		case least == fewest:
			same++
		}
	}
	t.Logf("%d counted, %d as many as are enough", counted, same)
	if counted < 25/planner.Share || same < counted/2 {
		t.Errorf("%d counted, %d as many as are enough prove too little", counted, same)
	}
}
