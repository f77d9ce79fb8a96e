package order

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
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
		if w.muted[g.Name] != "" {
			continue // with another that the same outputs mute
		}
		with := w.mutedWith(g)
		off := w.turnsOff(g)
		needed := slices.IndexFunc(w.order, func(a *action) bool {
			return slices.ContainsFunc(with, func(h studio.Gear) bool { return slices.Contains(a.effect.mutes, h.Name) })
		})
		id := ""
		switch {
		case w.facts.cut[g.Name]:
			id = w.muteByHand(g, "cut in this session, and stays so")
		case len(off) > 0 && len(w.turnsOn(g, true)) == 0:
			id = w.switchMute(g, off, nil, phrase.Put("turns {gear} off, as the new patch has it", "gear", allCalled(with)))
		case needed < 0:
		case g.Mute.Output.IsZero():
			id = w.muteByHand(g, w.whyMute(g, w.order[needed]))
		case len(off) > 0:
			silenced := w.silencedBeside(with, off)
			why := w.whyMute(w.mutedFor(with, w.order[needed]), w.order[needed])
			id = w.add(plan.Step{By: g.Mute.Output.Owner, Do: plan.Switch, Crosspoints: off, Silences: silenced, Because: w.whySilenced(why, silenced)}, nil)
		}
		for _, h := range with {
			if id != "" {
				w.muted[h.Name] = id
			}
		}
	}
}

// mutedWith are all gear that the outputs mute which mute a gear, itself among them; alone
// where a person mutes it.
func (w *writer) mutedWith(g studio.Gear) []studio.Gear {
	by := w.facts.mutedBy(g)
	if len(by) == 0 {
		return []studio.Gear{g}
	}
	var all []studio.Gear
	for _, h := range w.facts.audible {
		if !w.facts.cut[h.Name] && slices.Contains(by, h.Mute.Output) {
			all = append(all, h)
		}
	}
	return all
}

// mutedFor is the first of some gear that an action needs muted.
func (w *writer) mutedFor(all []studio.Gear, a *action) studio.Gear {
	return all[slices.IndexFunc(all, func(g studio.Gear) bool { return slices.Contains(a.effect.mutes, g.Name) })]
}

func allCalled(all []studio.Gear) string {
	var names []string
	for _, g := range all {
		names = append(names, called(g))
	}
	return strings.Join(names, ", ")
}

func (w *writer) muteByHand(g studio.Gear, because string) string {
	return w.add(plan.Step{By: plan.Person, Do: plan.Mute, Ends: inputs(g), Because: because}, nil)
}

func (w *writer) switchMute(g studio.Gear, c []plan.Change, after []string, because string) string {
	return w.add(plan.Step{By: g.Mute.Output.Owner, Do: plan.Switch, Crosspoints: c, Because: because}, after)
}

// turnsOff are the changes by which a matrix mutes a gear: of all outputs that do that, and of
// a relay all that they listen to.
func (w *writer) turnsOff(g studio.Gear) []plan.Change {
	var all []plan.Change
	for _, out := range w.facts.mutedBy(g) {
		for _, in := range w.facts.from.Inputs(out) {
			all = append(all, plan.Change{Output: out, Was: in})
		}
	}
	return all
}

// silencedBeside are the inputs, but those of some gear, that hear less once a matrix has
// switched what mutes that gear: what the same outputs feed, and those that are switched
// together with them. It takes the time of hearing the room.
func (w *writer) silencedBeside(muted []studio.Gear, off []plan.Change) []name.Point {
	s := w.facts.state(w.facts.from)
	var outputs []name.Point
	var opened patch.Patch
	for _, c := range off {
		outputs = append(outputs, c.Output)
		opened.Crosspoints = append(opened.Crosspoints, patch.Crosspoint{Output: c.Output, Input: c.Was})
	}
	before := s.heardFrom(outputs)
	s.change(opened, patch.Patch{})
	var silenced []name.Point
	for _, h := range before {
		meant := slices.ContainsFunc(muted, func(g studio.Gear) bool { return g.Name == h.in.Owner })
		if !meant && slices.ContainsFunc(h.sources, func(source name.Point) bool { return !s.hears(h.in, source) }) {
			silenced = append(silenced, h.in)
		}
	}
	return silenced
}

// whySilenced adds to why gear is muted what else has no signal until it is back, and what of
// it is to be kept.
func (w *writer) whySilenced(why string, silenced []name.Point) string {
	if len(silenced) > 0 {
		var names []string
		for _, in := range silenced {
			names = append(names, in.String())
		}
		why = inBetween(why, phrase.Count(len(silenced), "{inputs} loses signal, as the same outputs feed it", "{inputs} lose signal, as the same outputs feed them", "inputs", strings.Join(names, ", ")))
	}
	for _, in := range silenced {
		if kept, ok := w.rules.kept[in]; ok {
			why = inBetween(why, interrupted(kept))
		}
	}
	return why
}

// turnsOn are the changes by which the outputs that mute a gear come to what they listen to in
// the end, from nothing where it is muted.
func (w *writer) turnsOn(g studio.Gear, muted bool) []plan.Change {
	var all []plan.Change
	for _, out := range w.facts.mutedBy(g) {
		now := w.facts.target.Inputs(out)
		if len(now) == 0 {
			continue
		}
		var was []name.Point
		if !muted {
			was = w.facts.from.Inputs(out)
		}
		if len(was) == 0 {
			all = append(all, plan.Change{Output: out, Input: now[0]})
		}
		for _, in := range was {
			if in != now[0] {
				all = append(all, plan.Change{Output: out, Input: now[0], Was: in})
			}
		}
	}
	return all
}

// unmuteAll unmutes the loudspeakers from which something is heard, after everything
// that is heard from them is in place. What is cut stays muted.
func (w *writer) unmuteAll() {
	done := map[string]bool{}
	for _, g := range w.facts.audible {
		with := w.mutedWith(g)
		if done[with[0].Name] {
			continue
		}
		done[with[0].Name] = true
		off, muted := w.muted[g.Name]
		switch on := w.turnsOn(g, muted); {
		case w.facts.cut[g.Name]:
		case g.Mute.Output.IsZero() && muted && w.plays(g):
			w.add(plan.Step{By: plan.Person, Do: plan.Unmute, Ends: inputs(g), Because: w.whyUnmute(g)}, w.inPlace(w.atOneKnob(g), off))
		case len(on) > 0:
			w.switchMute(g, on, w.inPlace(with, off), phrase.Put("brings {gear} back: signal path complete", "gear", allCalled(with)))
		}
	}
}

// atOneKnob are all muted gear whose switch or knob for that a file calls the same, itself among
// them: it may be the same one, with which all of them come up.
func (w *writer) atOneKnob(g studio.Gear) []studio.Gear {
	all := []studio.Gear{g}
	for _, h := range w.facts.audible {
		if h.Name != g.Name && g.Mute.At != "" && h.Mute.At == g.Mute.At && h.Mute.Output.IsZero() && w.muted[h.Name] != "" && !w.facts.cut[h.Name] {
			all = append(all, h)
		}
	}
	return all
}

// plays says whether anything is heard from gear at the end.
func (w *writer) plays(g studio.Gear) bool {
	return slices.ContainsFunc(inputs(g), func(in name.Point) bool { return len(w.rules.new.live.Hears(in)) > 0 })
}

// inPlace are the steps that must be done before gear is unmuted that is muted together: its mute,
// all plugs that it must be muted for, phantom power that thumps when it comes on, and what is
// switched on the way to it. Of one
// that an output of a matrix mutes it is not known which plugs these are, as it may
// listen to something else then: they are all that may be heard from it.
func (w *writer) inPlace(all []studio.Gear, off string) []string {
	var after []string
	for _, id := range []string{off, w.changedOver} {
		if id != "" {
			after = append(after, id)
		}
	}
	for _, g := range all {
		after = append(after, w.poweredFor[g.Name]...)
	}
	for _, a := range w.order {
		if slices.ContainsFunc(all, func(g studio.Gear) bool {
			anyway := !a.byHand() || !g.Mute.Output.IsZero()
			return slices.Contains(a.needs.mutes, g.Name) || anyway && w.zones.mayBeHeard(a, g)
		}) {
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
			if slices.Contains(w.rules.audibleAt(w.rules.new, l.Through...), g.Name) {
				return phrase.Put("signal path complete; with care, as a loop through {point} is heard there", "point", l.Through[0].String())
			}
		}
	}
	return why
}
