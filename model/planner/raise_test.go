//go:build !race

package planner_test

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/simulators/rooms/houses"
)

// A bound by prices is under a plan that is known, however long the prices rise: where nothing is
// used too often any more, nor too rarely, they stay.
func TestPricesThatSettle(t *testing.T) {
	for _, test := range []struct {
		seed  uint64
		plugs int // of a plan
		work  int64
	}{{25, 23, 20e6}, {25, 23, 10e6}, {10, 18, 5e6}, {35, 15, 5e6}} {
		h := houses.Draw(houses.Project, test.seed)
		s, asked, present, _ := h.Read()
		least, err := planner.Raised(heard.NewRoom(s), present, asked, planner.Options{Prefer: plan.PreferFewest}, nil, test.plugs+2, test.work)
		if err != nil {
			t.Fatal(err)
		}
		if least > test.plugs || least <= 0 {
			t.Errorf("house %d with %d looks: at least %d plugs, and %d suffice", test.seed, test.work, least, test.plugs)
		}
	}
}

// With prices of what a plan uses alone, if only the one that the house was drawn with, a bound is
// higher for the same work: 83 where it is 74.
func TestPricesOfWhatAPlanUses(t *testing.T) {
	h := houses.Draw(houses.Facility, 3)
	s, asked, present, answer := h.Read()
	const plugs, work = 140, 10e6
	var least [2]int
	for i, known := range []*patch.Patch{nil, &answer} {
		var err error
		if least[i], err = planner.Raised(heard.NewRoom(s), present, asked, planner.Options{Prefer: plan.PreferFewest}, known, plugs, work); err != nil {
			t.Fatal(err)
		}
	}
	if least[1] < least[0]+5 || least[1] > plugs {
		t.Errorf("at least %d plugs, and %d with prices of what the plan uses", least[0], least[1])
	}
}

// No answer has a signal from nowhere where the clauses tell from which end it comes over metal: in
// this house seven in ten of those without directions have, in pairs of jacks that nothing feeds,
// each of which has it from the other, and there is no proof with so little work.
func TestSignalsFromNowhere(t *testing.T) {
	h := houses.Draw(houses.Project, 6)
	s, asked, present, _ := h.Read()
	for _, directed := range []bool{false, true} {
		none, err := planner.NoneWithin(t.Context(), heard.NewRoom(s), present, asked, planner.Options{Prefer: plan.PreferFewest}, 15, directed, 20e6, 1.5e6)
		if err != nil {
			t.Fatal(err)
		}
		if none != directed {
			t.Errorf("directed %v: it is proved that there is no plan with 15 plugs: %v", directed, none)
		}
	}
}
