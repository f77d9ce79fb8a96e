package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// powerOff turns phantom power off where a plug would short it, before the first
// that would.
func (w *writer) powerOff(a *action) {
	for _, p := range a.needs.phantomOff {
		if w.unpowered[p] != "" {
			continue
		}
		shorts := slices.IndexFunc(w.order, func(b *action) bool { return slices.Contains(b.effect.phantomOff, p) })
		w.unpowered[p] = w.add(plan.Step{By: plan.Person, Do: plan.PhantomOff, Ends: []name.Point{p},
			Because: phrase.Put("a plug at {jack} would short phantom power", "jack", w.order[shorts].touched[0].String())},
			w.stepsOf(w.waits.common(func(b *action) bool { return slices.Contains(b.needs.phantomOff, p) })))
	}
}

// powerOn turns it on again at the end, where microphones are there and nothing
// else.
func (w *writer) powerOn() {
	for _, p := range w.inputsOff() {
		if !MayPower(w.facts.studio, w.rules.new.live.Net(p)) {
			continue
		}
		after := []string{w.unpowered[p]}
		for _, a := range w.order {
			if slices.Contains(a.needs.phantomOff, p) {
				after = append(after, w.ids[a])
			}
		}
		w.add(plan.Step{By: plan.Person, Do: plan.PhantomOn, Ends: []name.Point{p}, Because: "signal path complete"}, after)
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

// MayPower says whether an input may be given phantom power by its net: a
// microphone is on its net, and no source that is not one, is not known or takes no test
// sound, such as a ribbon microphone, since 48 V could harm that (P48, IEC 61938). The net is what the input is joined to.
func MayPower(s *studio.Studio, net []name.Point) bool {
	microphones := 0
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			switch {
			case p.Direction != studio.Output || !slices.Contains(net, p.Point):
			case p.Line.Kind != studio.MicLevel || !p.Line.Balanced || g.NoTest || p.NoTest:
				return false
			default:
				microphones++
			}
		}
	}
	return microphones > 0 && !slices.ContainsFunc(s.Matrices, func(m studio.Matrix) bool {
		return m.Kind != studio.Contacts && slices.ContainsFunc(net, func(p name.Point) bool { return p.Owner == m.Name && p.Stem == "out" })
	})
}
