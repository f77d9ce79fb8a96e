package rooms

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// visited is the room with a patch in it while a session has it: with guests on
// leads, and with switches turned.
func (d *drawer) visited(pairs int) Room {
	known := len(d.studio.Gear)
	if d.often(35) {
		d.guest()
	}
	r := Room{Studio: d.studio, Patch: d.patch(2 + pairs/2), Inside: d.inside()}
	r.Guests = slices.Clone(d.studio.Gear[known:])
	d.studio.Gear = d.studio.Gear[:known:known]
	for _, g := range d.studio.Gear {
		if len(g.Selects) > 0 && d.often(40) {
			r.Selections = append(r.Selections, session.Selection{Gear: g.Name, Ports: g.Selects[0].Choices[1]})
		}
	}
	d.standsLoose(&r)
	return r
}

// standsLoose has half of the guests carried to where they are needed: a lead of other gear, one
// that is in no jack yet, goes into the guest's input.
func (d *drawer) standsLoose(r *Room) {
	if len(r.Guests) == 0 || !d.often(50) {
		return
	}
	r.Guests[0].Loose = true
	in := name.At("guest", "line", 1)
	led := func(p name.Point) bool {
		return slices.ContainsFunc(r.Patch.Leads, func(l patch.Lead) bool { return l.Port == p })
	}
	if led(in) {
		return
	}
	for _, out := range d.outputs {
		if !led(out) && out.Owner != "guest" && !d.ofMatrix(out) {
			r.Patch.Leads = append(r.Patch.Leads, patch.Lead{Port: out, Jack: in})
			r.Patch.Sort()
			return
		}
	}
}

// guest adds gear that is wired nowhere. Its input has a name that says of
// nothing that it is one.
func (d *drawer) guest() {
	line := studio.BuiltInLines()[d.r.IntN(4)]
	g := studio.Gear{Name: "guest", Ports: d.ports(&d.outputs, "guest", studio.Output, 1+d.upTo(1), line)}
	in := name.At("guest", "line", 1)
	g.Ports = append(g.Ports, studio.Port{Point: in, Direction: studio.Input, Line: line})
	d.inputs = append(d.inputs, in)
	if d.often(50) {
		g.Passes = []studio.Pass{{In: in, Out: g.Ports[0].Point}}
	}
	d.studio.Gear = append(d.studio.Gear, g)
}

// hardware lets some matrices switch outputs together, and some lack crosspoints.
func (d *drawer) hardware() {
	if d.plain {
		return
	}
	for i := range d.studio.Matrices {
		m := &d.studio.Matrices[i]
		if m.Outputs >= 2 && d.often(45) {
			first := 1 + d.upTo(m.Outputs-2)
			m.Stereo = [][]name.Point{{m.Out(first), m.Out(first + 1)}}
		}
		for d.often(35) {
			m.Missing = append(m.Missing, studio.Absent{Output: m.Out(1 + d.r.IntN(m.Outputs)), Input: m.In(1 + d.r.IntN(m.Inputs))})
		}
	}
}
