package order

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/plan"
)

// nameLines writes into steps the names of the session's lines that go over what they
// plug or switch. It hears the target once where any line has a name.
func nameLines(f *facts, steps []plan.Step) {
	over := linesOver(f)
	for i, s := range steps {
		switch s.Do {
		case plan.Plug, plan.PlugLead:
			steps[i].Lines = over[between(s.Ends)]
		case plan.MoveEnd:
			steps[i].Lines = over[between(s.To)]
		case plan.Switch:
			for _, c := range s.Crosspoints {
				for _, line := range over[between([]name.Point{c.Input, c.Output})] {
					steps[i].Lines = addOnce(steps[i].Lines, line)
				}
			}
		case plan.Pull, plan.PullLead, plan.PlugDummy, plan.PullDummy, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.ChangeOver:
		}
	}
}

// linesOver are the names of lines by the two ends of each cord, lead and crosspoint
// that they go over with the target in, in the order of the session.
func linesOver(f *facts) map[[2]name.Point][]string {
	over := map[[2]name.Point][]string{}
	var state *heard.State
	for _, want := range f.session.Wants {
		if want.Label == "" {
			continue
		}
		if state == nil {
			state = f.room.Hear(f.target)
		}
		for _, way := range state.Ways(want.Destination) {
			if way.From == want.Source && way.To == want.Destination {
				follow(over, way, want.Label)
			}
		}
	}
	return over
}

func follow(over map[[2]name.Point][]string, way heard.Way, line string) {
	for i, step := range way.Steps {
		switch step.By {
		case heard.ByCord, heard.ByLead, heard.ByCrosspoint:
			at := between([]name.Point{way.Steps[i-1].Point, step.Point})
			over[at] = addOnce(over[at], line)
		}
	}
}

// between are two ends in one order; a single end stands alone.
func between(ends []name.Point) (j [2]name.Point) {
	copy(j[:], ends)
	if len(ends) > 1 && j[1].Compare(j[0]) < 0 {
		j[0], j[1] = j[1], j[0]
	}
	return j
}

func addOnce(list []string, one string) []string {
	if slices.Contains(list, one) {
		return list
	}
	return append(slices.Clone(list), one)
}
