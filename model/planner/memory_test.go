package planner

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner/exact"
	"bayhand/simulators/rooms/houses"
)

// TestLargestSearch allows a search of a whole facility more work than its clauses take: they
// would not fit into memory.
func TestLargestSearch(t *testing.T) {
	s, asked, present, _ := houses.Draw(houses.Facility, 1).Read()
	m, err := newMaking(t.Context(), heard.NewRoom(s), present, asked, Options{Effort: 1 << 60})
	if err != nil {
		t.Fatal(err)
	}
	found := exact.Find(t.Context(), m.problem, nil, nil, 0, m.problem.Options.Work())
	if !found.Stopped || found.Impossible || found.Best != nil {
		t.Errorf("the search of a facility should stop before it begins: %+v", found)
	}
}
