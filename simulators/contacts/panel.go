// Package contacts is a room made of springs and resistors: what a bay, its
// cords and its matrices do as metal, found by solving the circuit.
//
// Vocabulary: the spring of a jack is the piece of metal that touches the tip of
// a plug, and is wired at the rear. A switching contact rests against the spring
// while nothing is plugged; a plug lifts the spring off it. A panel is all the
// metal of a room with one patch in it. Two sources fight when current flows
// from one into the other.
//
// The package is a witness beside the model: it takes the values of a studio and
// a patch and nothing that computes with them, so that one misreading of what a
// bay does cannot cancel itself out. It follows one conductor at a time: the
// tips, which carry the hot leg, or the rings, which carry the cold one. Sleeves
// are ground.
package contacts

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Resistances of metal and of the circuits of a matrix. Their size does not
// matter as long as it is far below that of a load and above zero: common
// practice, no published source.
const (
	contactResistance Ohm = 0.02
	cordResistance    Ohm = 0.15
	wireResistance    Ohm = 0.1
	relayResistance   Ohm = 0.1
	amplifierSource   Ohm = 100
	amplifierLoad     Ohm = 10e3
)

// Panel is the metal of a room with one patch in it.
type Panel struct {
	network Network
	nodes   map[name.Point]Node
	plugged map[name.Point]bool
	// outputs are the ports that drive, in the order of their sources in the
	// network: gear outputs and the outputs of amplifiers.
	outputs []name.Point
	inputs  []name.Point // gear inputs
	isGear  map[name.Point]bool
	// selects holds the inputs that an amplifier's output takes its signal from.
	selects map[name.Point][]name.Point
	// passes holds the inputs that a gear output takes its signal from.
	passes map[name.Point][]name.Point
	// cold is true where the metal is that of the rings.
	cold bool
}

// Build puts a patch into a room, and follows the tips. It fails on a point that
// the room does not have, and on a jack with two plugs.
func Build(s *studio.Studio, p patch.Patch) (*Panel, error) { return build(s, p, false) }

// BuildCold follows the rings, as Build does the tips. The cold leg of an
// unbalanced port is tied to ground at the gear; a two-pole plug has no ring,
// and its sleeve touches the jack's.
func BuildCold(s *studio.Studio, p patch.Patch) (*Panel, error) { return build(s, p, true) }

func build(s *studio.Studio, p patch.Patch, cold bool) (*Panel, error) {
	b := &Panel{
		cold:    cold,
		nodes:   map[name.Point]Node{},
		plugged: map[name.Point]bool{},
		isGear:  map[name.Point]bool{},
		selects: map[name.Point][]name.Point{},
		passes:  map[name.Point][]name.Point{},
	}
	for _, jack := range p.Plugs() {
		if b.plugged[jack] {
			return nil, fmt.Errorf("two plugs in %s; a jack takes one", jack)
		}
		b.plugged[jack] = true
	}
	b.gear(s.Gear)
	b.matrices(s.Matrices, p)
	b.bays(s)
	if err := b.rear(s); err != nil {
		return nil, err
	}
	return b, b.front(s, p)
}

// node adds a named piece of metal.
func (b *Panel) node(p name.Point) Node {
	n := b.network.Node()
	b.nodes[p] = n
	return n
}

// join solders a resistance between two named points.
func (b *Panel) join(p, q name.Point, r Ohm) error {
	for _, point := range []name.Point{p, q} {
		if _, ok := b.nodes[point]; !ok {
			return fmt.Errorf("the room has no %s", point)
		}
	}
	b.network.Resistor(b.nodes[p], b.nodes[q], r)
	return nil
}

func (b *Panel) gear(all []studio.Gear) {
	for _, g := range all {
		for _, p := range g.Ports {
			b.port(p)
		}
		for _, p := range g.Passes {
			b.passes[p.Out] = append(b.passes[p.Out], p.In)
		}
	}
}

func (b *Panel) port(p studio.Port) {
	n := b.node(p.Point)
	if p.Direction != studio.Output {
		b.inputs = append(b.inputs, p.Point)
	}
	switch {
	case b.cold && !p.Line.Balanced:
		b.network.Load(n, wireResistance)
	case p.Direction == studio.Output:
		b.isGear[p.Point] = true
		b.drive(p.Point, Ohm(p.Line.Source))
	case p.Line.Load > 0:
		b.network.Load(n, Ohm(p.Line.Load))
	}
}

// drive makes a named point a source. An ideal output, of 0 ohm, still has its
// wire.
func (b *Panel) drive(p name.Point, r Ohm) {
	b.network.Source(b.nodes[p], max(r, wireResistance))
	b.outputs = append(b.outputs, p)
}

// rear is what is soldered behind the bays.
func (b *Panel) rear(s *studio.Studio) error {
	for _, w := range s.Wires {
		if err := b.join(w.From, w.To, wireResistance); err != nil {
			return fmt.Errorf("wire %s -> %s: %w", w.From, w.To, err)
		}
	}
	for _, t := range s.Ties {
		if err := b.join(t.A, t.B, wireResistance); err != nil {
			return fmt.Errorf("tie %s = %s: %w", t.A, t.B, err)
		}
	}
	for _, m := range s.Mults {
		// A mult is wired from each jack to the next.
		for i := 1; i < len(m.Jacks); i++ {
			if err := b.join(m.Jacks[i-1], m.Jacks[i], wireResistance); err != nil {
				return fmt.Errorf("mult: %w", err)
			}
		}
	}
	return nil
}

// front is what is plugged.
func (b *Panel) front(s *studio.Studio, p patch.Patch) error {
	for jack := range b.plugged {
		if _, ok := b.nodes[jack]; !ok {
			return fmt.Errorf("the room has no jack %s", jack)
		}
	}
	for _, c := range p.Cords {
		if err := b.cord(c); err != nil {
			return fmt.Errorf("cord: %w", err)
		}
	}
	for _, l := range p.Leads {
		if err := b.join(l.Port, l.Jack, cordResistance); err != nil {
			return fmt.Errorf("lead: %w", err)
		}
	}
	return b.relays(s.Matrices, p)
}

func (b *Panel) cord(c patch.Cord) error {
	if b.cold && c.Poles == 2 {
		for _, jack := range c.Ends() {
			b.network.Load(b.nodes[jack], contactResistance)
		}
		return nil
	}
	if c.B.IsZero() {
		return nil
	}
	return b.join(c.A, c.B, cordResistance)
}
