package contacts

import (
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// commonMode is from each leg of a port that floats to its chassis. What it is
// does not matter as long as it is far above the load between the legs: common
// practice, no published source.
const commonMode Ohm = 1e6

func (b *Panel) gear(s *studio.Studio, p patch.Patch) {
	for _, g := range s.Gear {
		for _, port := range g.Ports {
			m := b.port(port.Point)
			if port.Direction == studio.Output {
				b.isGear[port.Point] = true
				b.drive(port.Point, m, port.Line)
				continue
			}
			b.inputs = append(b.inputs, port.Point)
			b.listen(b.takenOver(g, port.Point, m, s, p), port.Line)
		}
		b.inner(g)
	}
}

// drive makes a port a source. The cold leg of an unbalanced one is tied to its
// chassis; an ideal output, of 0 ohm, still has its wire. A balanced one drives
// both legs against ground unless its stage is known to be another: a winding, or
// an electronic one that behaves like it, floats; one that drives its hot leg
// alone has the same impedance behind both.
func (b *Panel) drive(p name.Point, m metal, line studio.Line) {
	r := max(Ohm(line.Source), wireResistance)
	b.outputs = append(b.outputs, p)
	switch {
	case !line.Balanced:
		b.network.Source(m.tip, r)
		b.network.Load(m.ring, contactResistance)
		b.lift(p, m.tip, r)
		b.lift(p, m.ring, contactResistance)
	case line.Stage == studio.TransformerStage || line.Stage == studio.CrossCoupledStage:
		b.network.Floating(m.tip, m.ring, r)
		b.network.Load(m.tip, commonMode)
		b.network.Load(m.ring, commonMode)
	case line.Stage == studio.ImpedanceStage:
		b.network.Source(m.tip, r/2)
		b.network.Load(m.ring, r/2)
		b.lift(p, m.tip, r/2)
		b.lift(p, m.ring, r/2)
	default:
		b.network.Balanced(m.tip, m.ring, r)
		b.lift(p, m.tip, r/2)
		b.lift(p, m.ring, r/2)
	}
}

// listen loads a port: each leg to ground, half of the load at each; between the
// legs alone where a transformer floats; or from the hot one to its chassis.
func (b *Panel) listen(m metal, line studio.Line) {
	switch {
	case !line.Balanced:
		b.network.Load(m.ring, contactResistance)
		if line.Load > 0 {
			b.network.Resistor(m.tip, m.ring, Ohm(line.Load))
		}
	case line.Stage == studio.TransformerStage:
		b.network.Load(m.tip, commonMode)
		b.network.Load(m.ring, commonMode)
		if line.Load > 0 {
			b.network.Resistor(m.tip, m.ring, Ohm(line.Load))
		}
	case line.Load > 0:
		b.network.Load(m.tip, Ohm(line.Load)/2)
		b.network.Load(m.ring, Ohm(line.Load)/2)
	default:
		b.network.Load(m.tip, commonMode)
		b.network.Load(m.ring, commonMode)
	}
}
