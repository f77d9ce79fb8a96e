package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// powerOff turns phantom power off where a plug would short it, before the first
// that would.
func (w *writer) powerOff(a *action) {
	for _, p := range a.effect.phantomOff {
		if w.unpowered[p] == "" {
			w.unpowered[p] = w.add(plan.Step{By: plan.Person, Do: plan.PhantomOff, Ends: []name.Point{p},
				Because: "a plug that goes in or out at " + a.touched[0].String() + " would short its phantom power"},
				w.stepsOf(w.waits.common(func(b *action) bool { return slices.Contains(b.effect.phantomOff, p) })))
		}
	}
}

func (w *writer) powerOn() {
	for _, p := range w.inputsOff() {
		if !w.mayPower(w.rules.new.live.Hears(p)) {
			continue
		}
		after := []string{w.unpowered[p]}
		for _, a := range w.order {
			if slices.Contains(a.effect.phantomOff, p) {
				after = append(after, w.ids[a])
			}
		}
		w.add(plan.Step{By: plan.Person, Do: plan.PhantomOn, Ends: []name.Point{p}, Because: "everything on its way is in place"}, after)
	}
}

// inputsOff are the inputs whose phantom power is off, in the order of the
// studio.
func (w *writer) inputsOff() []name.Point {
	if len(w.unpowered) == 0 {
		return nil
	}
	var all []name.Point
	for _, g := range w.facts.studio.Gear {
		for _, p := range g.Ports {
			if w.unpowered[p.Point] != "" {
				all = append(all, p.Point)
			}
		}
	}
	return all
}

// mayPower says whether phantom power goes to microphones only.
func (w *writer) mayPower(sources []name.Point) bool {
	for _, s := range sources {
		g := w.facts.gear[s.Owner]
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
