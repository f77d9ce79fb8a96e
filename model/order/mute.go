package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// offAnyway switches off what the new patch has off: it falls silent sooner or
// later, and so mutes for all the rest.
func (w *writer) offAnyway() {
	for _, g := range w.rules.audible {
		if was, is := w.muteInputs(g); len(was) > 0 && is.IsZero() {
			w.muted[g.Name] = w.switchMute(g, changes(g, was, is), nil, "turns "+called(g)+" off, as the new patch has it")
		}
	}
}

// muteFor mutes what must be down for a unit and is up yet.
func (w *writer) muteFor(u *unit) {
	for _, g := range w.rules.audible {
		if !slices.Contains(u.quiets, g.Name) || w.muted[g.Name] != "" {
			continue
		}
		after := w.common(func(v *unit) bool { return slices.Contains(v.quiets, g.Name) })
		switch was, _ := w.muteInputs(g); {
		case g.Mute.Output.IsZero():
			w.muted[g.Name] = w.add(plan.Step{By: plan.Person, Do: plan.Mute, Ends: inputs(g), Because: w.whyMute(g, u)}, after)
		case len(was) > 0:
			w.muted[g.Name] = w.switchMute(g, changes(g, was, name.Point{}), after, w.whyMute(g, u))
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
	if in := patch.Patch(w.plan.Target).Inputs(out); len(in) > 0 {
		is = in[0]
	}
	return w.from.Inputs(out), is
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

func inputs(g studio.Gear) []name.Point {
	var points []name.Point
	for _, p := range g.Ports {
		if p.Direction == studio.Input {
			points = append(points, p.Point)
		}
	}
	return points
}

// unmuteAll brings the loudspeakers up again, after everything that is heard
// from them is in place.
func (w *writer) unmuteAll() {
	for _, g := range w.rules.audible {
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

// inPlace are the steps that must be done before a gear is brought up: its mute,
// all plugs that it must be down for, and what is switched on the way to it. Of one
// that an output of a matrix mutes it is not known which plugs these are, as it may
// listen to something else then: they are all that may be heard from it.
func (w *writer) inPlace(g studio.Gear, off string) []string {
	var after []string
	if off != "" {
		after = append(after, off)
	}
	for _, u := range w.done {
		anyway := u.matrix != "" || !g.Mute.Output.IsZero()
		if slices.Contains(u.quiets, g.Name) || anyway && w.zones.sounds(u, g) {
			after = append(after, w.ids[u])
		}
	}
	return after
}

// mayPower says whether phantom power goes to microphones only.
func (w *writer) mayPower(sources []name.Point) bool {
	for _, s := range sources {
		g := w.rules.gear[s.Owner]
		if g == nil {
			continue
		}
		for _, p := range g.Ports {
			if p.Point == s && p.Line.Kind != studio.MicLevel {
				return false
			}
		}
	}
	return true
}
