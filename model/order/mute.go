package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// muteThroughout switches off what the new patch has off: it falls silent sooner or
// later, and so mutes for all the rest.
func (w *writer) muteThroughout() {
	for _, g := range w.facts.audible {
		if was, is := w.muteInputs(g); len(was) > 0 && is.IsZero() {
			w.muted[g.Name] = w.switchMute(g, changes(g, was, is), nil, "turns "+called(g)+" off, as the new patch has it")
		}
	}
}

// muteFor mutes what must be muted for an action and is not yet.
func (w *writer) muteFor(a *action) {
	for _, g := range w.facts.audible {
		if !slices.Contains(a.effect.mutes, g.Name) || w.muted[g.Name] != "" {
			continue
		}
		after := w.stepsOf(w.waits.common(func(b *action) bool { return slices.Contains(b.effect.mutes, g.Name) }))
		switch was, _ := w.muteInputs(g); {
		case g.Mute.Output.IsZero():
			w.muted[g.Name] = w.add(plan.Step{By: plan.Person, Do: plan.Mute, Ends: inputs(g), Because: w.facts.whyMute(g, a)}, after)
		case len(was) > 0:
			w.muted[g.Name] = w.switchMute(g, changes(g, was, name.Point{}), after, w.facts.whyMute(g, a))
		}
	}
}

func (w *writer) switchMute(g studio.Gear, c []plan.Change, after []string, because string) string {
	return w.add(plan.Step{By: g.Mute.Output.Owner, Do: plan.Switch, Crosspoints: c, Because: because}, after)
}

// muteInputs are what the output that mutes a gear listens to now, and at the
// end; nothing where a person mutes it. Of a relay it can be several now.
func (w *writer) muteInputs(g studio.Gear) (was []name.Point, is name.Point) {
	out := g.Mute.Output
	if out.IsZero() {
		return nil, is
	}
	if in := w.facts.target.Inputs(out); len(in) > 0 {
		is = in[0]
	}
	return w.facts.from.Inputs(out), is
}

// changes take the output that mutes a gear from what it listens to, to an
// input.
func changes(g studio.Gear, was []name.Point, is name.Point) []plan.Change {
	if len(was) == 0 {
		return []plan.Change{{Output: g.Mute.Output, Input: is}}
	}
	var all []plan.Change
	for _, in := range was {
		if in != is {
			all = append(all, plan.Change{Output: g.Mute.Output, Input: is, Was: in})
		}
	}
	return all
}

// unmuteAll unmutes the loudspeakers, after everything that is heard from them is
// in place.
func (w *writer) unmuteAll() {
	for _, g := range w.facts.audible {
		off, muted := w.muted[g.Name]
		was, is := w.muteInputs(g)
		if muted {
			was = nil
		}
		switch up := "brings " + called(g) + " up, as everything on its way is in place"; {
		case g.Mute.Output.IsZero() && muted:
			w.add(plan.Step{By: plan.Person, Do: plan.Unmute, Ends: inputs(g), Because: "everything on its way is in place"}, w.inPlace(g, off))
		case !is.IsZero() && len(changes(g, was, is)) > 0:
			w.switchMute(g, changes(g, was, is), w.inPlace(g, off), up)
		}
	}
}

// inPlace are the steps that must be done before a gear is unmuted: its mute,
// all plugs that it must be muted for, and what is switched on the way to it. Of one
// that an output of a matrix mutes it is not known which plugs these are, as it may
// listen to something else then: they are all that may be heard from it.
func (w *writer) inPlace(g studio.Gear, off string) []string {
	var after []string
	if off != "" {
		after = append(after, off)
	}
	for _, a := range w.order {
		anyway := !a.byHand() || !g.Mute.Output.IsZero()
		if slices.Contains(a.effect.mutes, g.Name) || anyway && w.zones.mayBeHeard(a, g) {
			after = append(after, w.ids[a])
		}
	}
	return after
}
