package rooms

import (
	"strconv"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// gear draws some pieces: with channels, or with ports of any number that may
// pass everything to everything.
func (d *drawer) gear(count int) {
	lines := studio.BuiltInLines()[:4] // of line, microphone and instrument level
	for i := range count {
		ins, outs, channels := d.upTo(3), d.upTo(3), 0
		if d.often(40) {
			ins = max(1, ins)
			outs, channels = ins, ins
		}
		g := studio.Gear{Name: "gear" + strconv.Itoa(i+1), Channels: channels}
		line := lines[d.r.IntN(len(lines))]
		g.Ports = append(d.ports(&d.inputs, g.Name, studio.Input, ins, line), d.ports(&d.outputs, g.Name, studio.Output, outs, line)...)
		g.Passes = d.passes(g, ins, outs)
		d.steal(&g, ins, line)
		d.selects(&g, outs)
		d.studio.Gear = append(d.studio.Gear, g)
	}
}

func (d *drawer) ports(all *[]name.Point, gear string, way studio.Direction, count int, line studio.Line) []studio.Port {
	stem := "in"
	if way == studio.Output {
		stem = "out"
	}
	var ports []studio.Port
	for n := 1; n <= count; n++ {
		p := name.At(gear, stem, n)
		ports = append(ports, studio.Port{Point: p, Direction: way, Line: line})
		*all = append(*all, p)
	}
	return ports
}

// passes are channel by channel, or now and then each input to each output.
func (d *drawer) passes(g studio.Gear, ins, outs int) []studio.Pass {
	if g.Channels == 0 && !d.often(15) {
		return nil
	}
	var passes []studio.Pass
	for i := 1; i <= ins; i++ {
		for o := 1; o <= outs; o++ {
			if g.Channels == 0 || i == o {
				passes = append(passes, studio.Pass{In: name.At(g.Name, "in", i), Out: name.At(g.Name, "out", o)})
			}
		}
	}
	return passes
}

// steal now and then adds a socket at the front that takes over an input.
func (d *drawer) steal(g *studio.Gear, ins int, line studio.Line) {
	if ins == 0 || !d.often(15) {
		return
	}
	all := &d.fronts
	if d.often(20) {
		all = &d.inputs // may be wired for good
	}
	front := name.At(g.Name, "front", 1)
	g.Ports = append(g.Ports, studio.Port{Point: front, Direction: studio.Input, Line: line})
	*all = append(*all, front)
	g.Overrides = []studio.Override{{Front: front, Rear: name.At(g.Name, "in", 1+d.upTo(ins-1))}}
}

// selects now and then adds a switch between two outputs.
func (d *drawer) selects(g *studio.Gear, outs int) {
	if d.plain || outs < 2 || !d.often(25) {
		return
	}
	first := 1 + d.upTo(outs-1)
	other := first%outs + 1
	g.Selects = []studio.Select{{Choices: [][]name.Point{{name.At(g.Name, "out", first)}, {name.At(g.Name, "out", other)}}}}
}

// bays shares the pairs among one to three bays.
func (d *drawer) bays(pairs int) {
	modes := []studio.Mode{studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop, studio.Isolated, studio.Parallel}
	grounds := []studio.Ground{studio.Separate, studio.Bussed, studio.Strapped}
	for left := pairs; left > 0; {
		bay := studio.Bay{Name: "bay" + strconv.Itoa(len(d.studio.Bays)+1), Ground: grounds[d.r.IntN(len(grounds))]}
		here := left
		if len(d.studio.Bays) < 2 && d.often(60) {
			here = 1 + d.upTo(left-1)
		}
		for n := 1; n <= here; n++ {
			mode := modes[d.r.IntN(len(modes))]
			bay.Modes = append(bay.Modes, mode)
			if mode != studio.Isolated && mode != studio.Parallel && d.often(4) {
				d.studio.FaultyNormals = append(d.studio.FaultyNormals, bay.TopJack(n))
			}
		}
		d.studio.Bays = append(d.studio.Bays, bay)
		left -= here
	}
	d.jacks = jacks(d.studio)
	d.every = jacks(d.studio)
}

func jacks(s *studio.Studio) []name.Point {
	var all []name.Point
	for _, bay := range s.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			all = append(all, bay.TopJack(n), bay.BottomJack(n))
		}
	}
	return all
}

func (d *drawer) matrices() {
	for i := range d.upTo(2) {
		m := studio.Matrix{
			Name:          "grid" + strconv.Itoa(i+1),
			Inputs:        2 + d.upTo(2),
			Outputs:       1 + d.upTo(3),
			Kind:          studio.Amplifiers,
			HighImpedance: d.often(50),
		}
		if d.often(50) {
			m.Kind, m.HighImpedance = studio.Contacts, false
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
