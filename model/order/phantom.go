package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// powerOff turns phantom power off, before anything is plugged or switched, where that would
// short it or hand it on: at all inputs of one gear in one step, once what would thump is
// muted.
func (w *writer) powerOff() {
	for _, g := range w.facts.studio.Gear {
		var off []name.Point
		because := ""
		for _, p := range inputs(g) {
			at := slices.IndexFunc(w.order, func(a *action) bool { return slices.Contains(a.needs.phantomOff, p) })
			if at < 0 {
				continue
			}
			off = append(off, p)
			if because == "" {
				because = w.whyPowerOff(w.order[at])
			}
		}
		if len(off) == 0 {
			continue
		}
		var after []string
		for _, h := range w.facts.audible {
			if id := w.muted[h.Name]; id != "" && w.zones.mayThump(off, h) {
				after = append(after, id)
			}
		}
		id := w.add(plan.Step{By: plan.Person, Do: plan.PhantomOff, Ends: off, Because: because}, after)
		for _, p := range off {
			w.unpowered[p] = id
		}
	}
}

func (w *writer) whyPowerOff(a *action) string {
	if !a.byHand() {
		return phrase.Put("{matrix} would switch phantom power", "matrix", w.facts.matrixCalled(a.matrix))
	}
	return phrase.Put("a plug at {jack} would short phantom power", "jack", a.touched[0].String())
}

// powerOn turns it on again at the end, where microphones are there and nothing
// else.
func (w *writer) powerOn() {
	for _, g := range w.facts.studio.Gear {
		var on []name.Point
		var after []string
		for _, p := range inputs(g) {
			if w.unpowered[p] == "" || !MayPower(w.facts.studio, w.rules.new.live.Net(p)) {
				continue
			}
			on, after = append(on, p), append(after, w.unpowered[p])
			for _, a := range w.order {
				if slices.Contains(a.needs.phantomOff, p) {
					after = append(after, w.ids[a])
				}
			}
		}
		if len(on) == 0 {
			continue
		}
		id := w.add(plan.Step{By: plan.Person, Do: plan.PhantomOn, Ends: on, Because: "signal path complete"}, after)
		for _, h := range w.facts.audible {
			if w.zones.mayThump(on, h) {
				w.poweredFor[h.Name] = append(w.poweredFor[h.Name], id)
			}
		}
	}
}

// thumps are the loudspeakers and headphones that phantom power at an input is heard from as it
// goes off in the old patch, or comes on in the new.
func (r *rules) thumps(in int) []string {
	if _, known := r.thumping[in]; !known {
		g := r.facts.room.Graph()
		node := g.Node[in]
		if r.old == nil {
			r.old = r.facts.state(r.facts.from)
		}
		all := r.audibleFrom(r.old, node)
		if MayPower(r.facts.studio, r.new.live.Net(g.Points[in])) {
			all = append(all, r.audibleFrom(r.new, node)...)
		}
		r.thumping[in] = all
	}
	return r.thumping[in]
}

// clicksAt are the loudspeakers and headphones that a plug at a jack is heard from, and those
// that thump by the phantom power there, which goes off for it.
func (r *rules) clicksAt(s *state, jack name.Point) []string {
	all := r.audibleAt(s, jack)
	for _, p := range s.live.Net(jack) {
		if in, ok := s.numbers.Graph.Number[p]; ok && r.phantoms[in] {
			all = append(all, r.thumps(in)...)
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
