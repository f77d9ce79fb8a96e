package planner_test

import (
	"os"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/simulators/rooms/houses"
)

// No floor is above the plugs of the plan that the table of quality has of a room. Homes
// and small houses are looked at in every run, all sizes with BAYHAND_QUALITY=all.
func TestFloorUnderTheTable(t *testing.T) {
	tasks := homeTasks(t)
	if os.Getenv("BAYHAND_QUALITY") == "all" {
		tasks = append(tasks, moreTasks(t)...)
	}
	table := readTable(t)
	for seed := range uint64(20 / planner.Share) {
		tasks = append(tasks, func() task { return houseTask("small", houses.Small, seed+1, plan.PreferFewest) })
	}
	apart := 0
	for _, task := range tasks {
		q := task()
		floor, err := planner.Floor(heard.NewRoom(q.studio), q.present, q.asked, planner.Options{Prefer: q.prefer})
		if err != nil {
			t.Fatalf("%s: %v", q.name, err)
		}
		known, listed := table.rows[q.name]
		if listed && known.plugs != noPlan {
			raised, err := planner.Raised(heard.NewRoom(q.studio), q.present, q.asked, planner.Options{Prefer: q.prefer}, nil, known.plugs+1, 3e5)
			if err != nil {
				t.Fatalf("%s: %v", q.name, err)
			}
			floor = max(floor, raised)
		}
		switch {
		case !listed:
			t.Errorf("%s is not in the table", q.name)
		case floor > known.plugs:
			t.Errorf("%s: a floor of %d, and a plan of %d", q.name, floor, known.plugs)
		case known.plugs != noPlan:
			apart += known.plugs - floor
		}
	}
	t.Logf("%d rooms, %d plugs apart", len(tasks), apart)
}
