package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// muteFirst mutes, before anything else is done, what the session cuts, what the new
// patch has off, and what some action needs muted: a room whose loudspeakers are to be
// touched is silent before the first plug, and not one side of a pair while the other
// plays.
func (w *writer) muteFirst() {
	for _, g := range w.facts.audible {
		was, is := w.muteInputs(g)
		needed := slices.IndexFunc(w.order, func(a *action) bool { return slices.Contains(a.effect.mutes, g.Name) })
		switch {
		case w.facts.cut[g.Name]:
			w.muted[g.Name] = w.muteByHand(g, "cut in this session, and stays so")
		case len(was) > 0 && is.IsZero():
			w.muted[g.Name] = w.switchMute(g, changes(g, was, is), nil, phrase.Put("turns {gear} off, as the new patch has it", "gear", called(g)))
		case needed < 0:
		case g.Mute.Output.IsZero():
			w.muted[g.Name] = w.muteByHand(g, w.whyMute(g, w.order[needed]))
		case len(was) > 0:
			w.muted[g.Name] = w.switchMute(g, changes(g, was, name.Point{}), nil, w.whyMute(g, w.order[needed]))
		}
	}
}

func (w *writer) muteByHand(g studio.Gear, because string) string {
	return w.add(plan.Step{By: plan.Person, Do: plan.Mute, Ends: inputs(g), Because: because}, nil)
}

func (w *writer) switchMute(g studio.Gear, c []plan.Change, after []string, because string) string {
	return w.add(plan.Step{By: g.Mute.Output.Owner, Do: plan.Switch, Crosspoints: c, Because: because}, after)
}

// muteInputs are what the output that mutes a gear listens to now, and at the
// end; nothing where a person mutes it. Of a relay it can be several now.
func (w *writer) muteInputs(g studio.Gear) (was []name.Point, is name.Point) {
	out := g.Mute.Output
	if out.IsZero() || w.facts.cut[g.Name] {
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

// unmuteAll unmutes the loudspeakers from which something is heard, after everything
// that is heard from them is in place. What is cut stays muted.
func (w *writer) unmuteAll() {
	for _, g := range w.facts.audible {
		off, muted := w.muted[g.Name]
		was, is := w.muteInputs(g)
		if muted {
			was = nil
		}
		switch up := phrase.Put("brings {gear} back: signal path complete", "gear", called(g)); {
		case w.facts.cut[g.Name]:
		case g.Mute.Output.IsZero() && muted && w.plays(g):
			w.add(plan.Step{By: plan.Person, Do: plan.Unmute, Ends: inputs(g), Because: w.whyUnmute(g)}, w.inPlace(g, off))
		case !is.IsZero() && len(changes(g, was, is)) > 0:
			w.switchMute(g, changes(g, was, is), w.inPlace(g, off), up)
		}
	}
}

// plays says whether anything is heard from gear at the end.
func (w *writer) plays(g studio.Gear) bool {
	return slices.ContainsFunc(inputs(g), func(in name.Point) bool { return len(w.rules.new.live.Hears(in)) > 0 })
}

// inPlace are the steps that must be done before a gear is unmuted: its mute,
// all plugs that it must be muted for, and what is switched on the way to it. Of one
// that an output of a matrix mutes it is not known which plugs these are, as it may
// listen to something else then: they are all that may be heard from it.
func (w *writer) inPlace(g studio.Gear, off string) []string {
	var after []string
	for _, id := range []string{off, w.changedOver} {
		if id != "" {
			after = append(after, id)
		}
	}
	for _, a := range w.order {
		anyway := !a.byHand() || !g.Mute.Output.IsZero()
		if slices.Contains(a.needs.mutes, g.Name) || anyway && w.zones.mayBeHeard(a, g) {
			after = append(after, w.ids[a])
		}
	}
	return after
}

// whyMute says what would be heard from gear that is not muted before an action, and
// what is to be kept and is interrupted by the mute.
func (w *writer) whyMute(g studio.Gear, a *action) string {
	why := ""
	at := slices.IndexFunc(a.effect.hazards, func(h hazard) bool { return slices.Contains(h.gear, g.Name) })
	switch {
	case at >= 0:
		why = phrase.Put("in between, {hazard}", "hazard", a.effect.hazards[at].text)
	case !a.byHand():
		why = phrase.Put("keeps {matrix} switching out of {gear}", "matrix", w.facts.matrixCalled(a.matrix), "gear", called(g))
	default:
		why = phrase.Put("prevents a click from {jack}", "jack", a.touched[0].String())
	}
	for _, in := range inputs(g) {
		if kept, ok := w.rules.kept[in]; ok {
			why = inBetween(why, interrupted(kept))
		}
	}
	return why
}

// whyUnmute says so where a loop that the session allows is heard from gear: the
// gain around it is not known.
func (w *writer) whyUnmute(g studio.Gear) string {
	why := "signal path complete"
	for _, i := range w.facts.insides[:1] {
		for _, l := range w.rules.new.live.Loops(i.passes, nil) {
			if slices.Contains(w.rules.audibleFrom(w.rules.new, l.Through...), g.Name) {
				return phrase.Put("signal path complete; with care, as a loop through {point} is heard there", "point", l.Through[0].String())
			}
		}
	}
	return why
}
