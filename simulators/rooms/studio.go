package rooms

import (
	"strconv"

	"bayhand/model/name"
	"bayhand/model/studio"
)

func (d *drawer) gear() {
	lines := studio.BuiltInLines()[:4] // of line, microphone and instrument level
	for i := range 2 + d.upTo(4) {
		g := studio.Gear{Name: "gear" + strconv.Itoa(i+1)}
		ins, outs := d.upTo(3), d.upTo(3)
		if d.often(40) {
			ins = max(1, ins)
			outs = ins
			g.Channels = ins
		}
		line := lines[d.r.IntN(len(lines))]
		for n := 1; n <= ins; n++ {
			p := name.At(g.Name, "in", n)
			g.Ports = append(g.Ports, studio.Port{Point: p, Direction: studio.Input, Line: line})
			d.inputs = append(d.inputs, p)
		}
		for n := 1; n <= outs; n++ {
			p := name.At(g.Name, "out", n)
			g.Ports = append(g.Ports, studio.Port{Point: p, Direction: studio.Output, Line: line})
			d.outputs = append(d.outputs, p)
			if g.Channels > 0 {
				g.Passes = append(g.Passes, studio.Pass{In: name.At(g.Name, "in", n), Out: p})
			}
		}
		d.studio.Gear = append(d.studio.Gear, g)
	}
}

func (d *drawer) bays() {
	modes := []studio.Mode{studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop, studio.Isolated, studio.Parallel}
	for i := range 1 + d.upTo(1) {
		bay := studio.Bay{Name: "bay" + strconv.Itoa(i+1)}
		for n := 1; n <= 2+d.upTo(4); n++ {
			mode := modes[d.r.IntN(len(modes))]
			bay.Modes = append(bay.Modes, mode)
			d.jacks = append(d.jacks, bay.TopJack(n), bay.BottomJack(n))
			if mode != studio.Isolated && mode != studio.Parallel && d.often(4) {
				d.studio.FaultyNormals = append(d.studio.FaultyNormals, bay.TopJack(n))
			}
		}
		d.studio.Bays = append(d.studio.Bays, bay)
	}
	d.every = append(d.every, d.jacks...)
}

func (d *drawer) matrices() {
	for i := range d.upTo(2) {
		m := studio.Matrix{
			Name:    "grid" + strconv.Itoa(i+1),
			Inputs:  1 + d.upTo(3),
			Outputs: 1 + d.upTo(3),
			Kind:    studio.Amplifiers,
			LetsGo:  d.often(50),
		}
		if d.often(50) {
			m.Kind, m.LetsGo = studio.Contacts, false
		}
		for n := 1; n <= m.Inputs; n++ {
			d.inputs = append(d.inputs, m.In(n))
		}
		for n := 1; n <= m.Outputs; n++ {
			d.outputs = append(d.outputs, m.Out(n))
		}
		d.studio.Matrices = append(d.studio.Matrices, m)
	}
}

// wire lands outputs mostly on top and inputs mostly on the bottom, as bays are
// wired; some ports stay free for leads, and some go straight to each other.
func (d *drawer) wire() {
	for len(d.outputs) > 0 && len(d.jacks) > 0 && d.often(88) {
		from, _ := d.take(&d.outputs)
		to, _ := d.takeOf(d.side(studio.Top), &d.jacks)
		d.studio.Wires = append(d.studio.Wires, studio.Wire{From: from, To: to})
	}
	for len(d.inputs) > 0 && len(d.jacks) > 0 && d.often(88) {
		to, _ := d.take(&d.inputs)
		from, _ := d.takeOf(d.side(studio.Bottom), &d.jacks)
		d.studio.Wires = append(d.studio.Wires, studio.Wire{From: from, To: to})
	}
	if len(d.outputs) > 0 && len(d.inputs) > 0 && d.often(30) {
		from, _ := d.take(&d.outputs)
		to, _ := d.take(&d.inputs)
		d.studio.Wires = append(d.studio.Wires, studio.Wire{From: from, To: to})
	}
}

// side is the usual row, and one time in seven the other.
func (d *drawer) side(usual string) string {
	if !d.often(14) {
		return usual
	}
	if usual == studio.Top {
		return studio.Bottom
	}
	return studio.Top
}

// behind adds ties, mults and strapped normals between jacks whose rear is free.
func (d *drawer) behind() {
	for d.often(35) {
		a, okA := d.take(&d.jacks)
		b, okB := d.take(&d.jacks)
		if !okA || !okB {
			break
		}
		d.studio.Ties = append(d.studio.Ties, studio.Tie{A: a, B: b})
	}
	if len(d.jacks) >= 3 && d.often(30) {
		var m studio.Mult
		for range 3 {
			p, _ := d.take(&d.jacks)
			m.Jacks = append(m.Jacks, p)
		}
		d.studio.Mults = append(d.studio.Mults, m)
	}
	if d.often(20) {
		free := append([]name.Point(nil), d.every...)
		from, _ := d.takeOf(studio.Top, &free)
		to, _ := d.takeOf(studio.Bottom, &free)
		d.studio.Normals = append(d.studio.Normals, studio.Normal{From: from, To: to})
	}
}
