//go:build !race

package planner_test

import (
	"testing"

	"bayhand/model/heard"
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
		least, err := planner.Raised(heard.NewRoom(s), present, asked, planner.Options{Prefer: plan.PreferFewest}, test.plugs+2, test.work)
		if err != nil {
			t.Fatal(err)
		}
		if least > test.plugs || least <= 0 {
			t.Errorf("house %d with %d looks: at least %d plugs, and %d suffice", test.seed, test.work, least, test.plugs)
		}
	}
}
