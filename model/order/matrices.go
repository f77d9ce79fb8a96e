package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// matrixActions are one for each crosspoint that is opened and one for each that is
// closed; batch joins those that can be done together. What mutes a loudspeaker is
// none of them: it has its place at the ends.
func matrixActions(f *facts) []*action {
	var all []*action
	for _, c := range f.crosspoints {
		if f.mutesGear(c.Output) {
			continue
		}
		if !c.Was.IsZero() {
			a := &action{matrix: c.Output.Owner, changes: []plan.Change{{Output: c.Output, Was: c.Was}}}
			a.events = []event{{out: crosspoint(c.Output, c.Was), at: f.around(c.Output, c.Was)}}
			a.rank = rank{phase: opening, point: c.Output}
			all = append(all, a)
		}
		if !c.Input.IsZero() && !closedAlready(all, c) {
			a := &action{matrix: c.Output.Owner, changes: []plan.Change{{Output: c.Output, Input: c.Input}}}
			a.events = []event{{in: crosspoint(c.Output, c.Input), at: f.around(c.Output, c.Input), joined: []name.Point{c.Output}}}
			a.rank = rank{phase: closing, point: c.Output}
			all = append(all, a)
		}
	}
	return all
}

// mutesGear says whether an output of a matrix mutes a loudspeaker on the way; one
// that is cut is muted at its own switch.
func (f *facts) mutesGear(output name.Point) bool {
	for _, g := range f.audible {
		if slices.Contains(f.mutedBy(g), output) {
			return true
		}
	}
	return false
}

// mutedBy are the outputs of a matrix that mute a gear: the one that its file names, and
// those that are switched together with it; nothing where a person mutes it, or cuts it at
// its own switch.
func (f *facts) mutedBy(g studio.Gear) []name.Point {
	if g.Mute.Output.IsZero() || f.cut[g.Name] {
		return nil
	}
	return f.studio.Gang(g.Mute.Output)
}

// around are the points whose nets a crosspoint changes.
func (f *facts) around(output, input name.Point) []name.Point {
	if f.amplifiers[output.Owner] {
		return []name.Point{output}
	}
	return []name.Point{output, input}
}

// closedAlready says whether an output that loses several inputs has its new
// one among the actions.
func closedAlready(actions []*action, c plan.Change) bool {
	return slices.ContainsFunc(actions, func(a *action) bool {
		return len(a.changes) > 0 && a.changes[0].Output == c.Output && a.changes[0].Input == c.Input
	})
}

func crosspoint(output, input name.Point) patch.Patch {
	return patch.Patch{Crosspoints: []patch.Crosspoint{{Output: output, Input: input}}}
}

// opensFor says whether an action opens a crosspoint of an output that another
// closes one of.
func (a *action) opensFor(b *action) bool {
	return slices.ContainsFunc(a.changes, func(c plan.Change) bool {
		return c.Input.IsZero() && slices.ContainsFunc(b.changes, func(d plan.Change) bool { return c.Output == d.Output && !d.Input.IsZero() })
	})
}

// join makes one step of what a matrix does in a row. An output that is opened
// and closed again is one change.
func join(actions []*action) *action {
	all := &action{matrix: actions[0].matrix, rank: actions[0].rank, because: actions[0].because}
	for _, a := range actions {
		all.events = append(all.events, a.events...)
		all.effect.add(a.effect.hazards...)
		all.effect.mute(a.effect.mutes...)
		all.needs.mute(a.needs.mutes...)
		all.needs.powerOff(a.needs.phantomOff...)
		all.rank.urgent = all.rank.urgent || a.rank.urgent
		all.wants = append(all.wants, a.wants...)
		all.removes = append(all.removes, slices.DeleteFunc(slices.Clone(a.removes), func(h hearer) bool { return slices.Contains(all.removes, h) })...)
		all.carries = append(all.carries, slices.DeleteFunc(slices.Clone(a.carries), func(h hearer) bool { return slices.Contains(all.carries, h) })...)
		for _, c := range a.changes {
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

// joinStereo makes one action of what outputs that are switched together do: none
// of them can be opened, or closed, without the others.
func joinStereo(f *facts, actions []*action) []*action {
	for _, m := range f.studio.Matrices {
		for _, group := range m.Stereo {
			for _, closes := range []bool{false, true} {
				actions = joinAll(actions, func(a *action) bool {
					return !a.byHand() && slices.Contains(group, a.changes[0].Output) && a.closes() == closes
				})
			}
		}
	}
	return actions
}

// joinAll makes one action of those that are in, where the first of them stands.
func joinAll(actions []*action, in func(*action) bool) []*action {
	at := slices.IndexFunc(actions, in)
	if at < 0 {
		return actions
	}
	var one, rest []*action
	for _, a := range actions {
		if in(a) {
			one = append(one, a)
		} else {
			rest = append(rest, a)
		}
	}
	return slices.Insert(rest, at, join(one))
}
