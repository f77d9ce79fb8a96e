//go:build !race

// The race detector makes these comparisons fifteen times as long, and has nothing
// to find in them.

package planner_test

import (
	"slices"
	"testing"

	"bayhand/model/measure"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/simulators/rooms/houses"
)

// Each stage pays: without it, plans of homes are worse, or of the larger houses that need it. Where the exact search
// would find by itself what an earlier stage does, it is given little work, as it
// has in large rooms.
func TestEachStagePays(t *testing.T) {
	little := map[string]bool{"bound": true, "route": true, "rebuild": true}
	beside := map[string][]string{ // of what comes after, which would find the same in rooms so small
		"bound":   {"raise"},
		"rebuild": {"raise", "narrow", "exact", "improve"},
		"repair":  {"rebuild", "improve", "exact", "straighten"},
		"raise":   {"rebuild", "improve", "exact", "straighten"},
		"narrow":  {"improve", "exact"},
		"improve": {"narrow", "exact", "straighten"},
		"exact":   {"narrow"},
	}
	larger := map[string][]task{ // what homes do not need
		"repair":  {houseTask("small", houses.Small, 13, plan.PreferFewest)},
		"rebuild": {houseTask("small", houses.Small, 8, plan.PreferFewest)},
		"raise":   {houseTask("project", houses.Project, 4, plan.PreferFewest)},
		"narrow":  {houseTask("project", houses.Project, 35, plan.PreferFewest)},
		"guide":   {houseTask("facility", houses.Facility, 20, plan.PreferFewest)},
		"improve": {houseTask("project", houses.Project, 4, plan.PreferFewest)},
	}
	for _, stage := range planner.Stages() {
		t.Run(stage, func(t *testing.T) {
			var with, without total
			tasks := homeTasks(t)[:6]
			if little[stage] {
				tasks = homeTasks(t)[:12]
			}
			if larger[stage] != nil {
				tasks = nil
				for _, q := range larger[stage] {
					tasks = append(tasks, func() task { return q })
				}
			}
			for _, draw := range tasks {
				q := draw()
				if little[stage] {
					q.effort = 1
				}
				left := beside[stage]
				with.add(qualityOf(t, q, left...))
				without.add(qualityOf(t, q, append(slices.Clone(left), stage)...))
			}
			t.Logf("with %+v, without %+v", with, without)
			if !with.better(without) {
				t.Errorf("plans are no worse without: %+v, and %+v", with, without)
			}
		})
	}
	if names := planner.Stages(); !slices.Contains(names, "exact") || len(names) < 4 {
		t.Errorf("the stages are %v", names)
	}
}

// total is what some plans come to.
type total struct {
	missing, plugs, least, inBay, changed int
	cords                                 measure.Length
}

func (t *total) add(q quality) {
	if q.plugs == noPlan {
		t.missing++
		return
	}
	t.plugs, t.least, t.inBay, t.changed, t.cords = t.plugs+q.plugs, t.least+q.least, t.inBay+q.inBay, t.changed+q.changed, t.cords+q.cords
}

// better says whether no count is worse, and one is better.
func (t *total) better(u total) bool {
	worse := t.missing > u.missing || t.missing == u.missing && (t.plugs > u.plugs || t.least < u.least)
	better := t.missing < u.missing || t.plugs < u.plugs || t.least > u.least || t.inBay < u.inBay || t.cords < u.cords
	return better && !worse
}
