package paper

import "bayhand/model/schedule"

// Changed are the cables that are otherwise than in an earlier schedule, by what there
// is to do: to take out, to change, to make.
func Changed(changes []schedule.Change) []WiringGroup {
	titles := map[string]string{schedule.TakeOut: "To take out", schedule.Alter: "To change", schedule.Make: "To make"}
	var groups []WiringGroup
	for _, do := range []string{schedule.TakeOut, schedule.Alter, schedule.Make} {
		g := WiringGroup{Title: titles[do]}
		for _, c := range changes {
			if c.Do != do {
				continue
			}
			g.Cables = append(g.Cables, WiringCable{Cable: c.Cable, Changes: c.What})
		}
		if len(g.Cables) > 0 {
			groups = append(groups, g)
		}
	}
	return groups
}
