//go:build unix && !race

package planner_test

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/simulators/rooms/houses"
)

// From the rest patch all that a large session asks for has to be plugged, where cords and lines between bays are scarce:
// the eighth facility has a plan of its session only by prices, and one near the bound.
func TestAFacilityFromTheRestPatch(t *testing.T) {
	s, asked, _, _ := houses.Draw(houses.Facility, 8).Read()
	p, err := planner.Find(t.Context(), heard.NewRoom(s), s.Rest, asked, planner.Options{Prefer: plan.PreferFewest})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("%d plugs, at least %d", p.Plugs, p.Least)
	if !p.Given || p.Plugs*100 > p.Least*115 {
		t.Errorf("given: %t; %d plugs, at least %d", p.Given, p.Plugs, p.Least)
	}
}
