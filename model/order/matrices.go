package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// matrixUnits make one unit for each crosspoint that is opened and one for each
// that is closed; sequence joins those that can be done together.
func (a *arranger) matrixUnits() []*unit {
	var units []*unit
	for _, c := range a.plan.Crosspoints {
		if a.rules.mutes(c.Output) {
			continue // it mutes a loudspeaker, and has its place at the ends
		}
		if !c.Was.IsZero() {
			u := &unit{matrix: c.Output.Owner, changes: []plan.Change{{Output: c.Output, Was: c.Was}}}
			u.events = []event{{out: crosspoint(c.Output, c.Was), at: a.around(c.Output, c.Was)}}
			u.rank = rank{phase: opening, point: c.Output}
			units = append(units, u)
		}
		if !c.Input.IsZero() && !closedAlready(units, c) {
			u := &unit{matrix: c.Output.Owner, changes: []plan.Change{{Output: c.Output, Input: c.Input}}}
			u.events = []event{{in: crosspoint(c.Output, c.Input), at: a.around(c.Output, c.Input), joined: []name.Point{c.Output}}}
			u.rank = rank{phase: closing, point: c.Output}
			units = append(units, u)
		}
	}
	return units
}

// around are the points whose nets a crosspoint changes.
func (a *arranger) around(output, input name.Point) []name.Point {
	if a.amplifiers[output.Owner] {
		return []name.Point{output}
	}
	return []name.Point{output, input}
}

// closedAlready says whether an output that loses several inputs has its new
// one among the units.
func closedAlready(units []*unit, c plan.Change) bool {
	return slices.ContainsFunc(units, func(u *unit) bool {
		return len(u.changes) > 0 && u.changes[0].Output == c.Output && u.changes[0].Input == c.Input
	})
}

func crosspoint(output, input name.Point) patch.Patch {
	return patch.Patch{Crosspoints: []patch.Crosspoint{{Output: output, Input: input}}}
}

// join makes one step of what a matrix does in a row. An output that is opened
// and closed again is one change.
func join(units []*unit) *unit {
	all := &unit{matrix: units[0].matrix, rank: units[0].rank, because: units[0].because}
	for _, u := range units {
		all.events = append(all.events, u.events...)
		all.risk(u.risks...)
		all.hush(u.quiets...)
		all.wants = append(all.wants, u.wants...)
		for _, c := range u.changes {
			at := slices.IndexFunc(all.changes, func(d plan.Change) bool { return d.Output == c.Output && d.Input.IsZero() && c.Was.IsZero() })
			if at >= 0 {
				all.changes[at].Input = c.Input
				continue
			}
			all.changes = append(all.changes, c)
		}
	}
	slices.SortStableFunc(all.changes, func(c, d plan.Change) int { return c.Output.Compare(d.Output) })
	return all
}
