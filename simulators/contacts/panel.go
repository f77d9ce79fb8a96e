// Package contacts is a room made of springs and resistors: what a bay, its
// cords and its matrices do as metal, found by solving the circuit.
//
// Vocabulary: every jack has three pieces of metal. The tip carries the hot leg,
// the ring the cold one, the sleeve the shield. The spring of a jack is what
// touches the tip of a plug, and another its ring; both are wired at the rear. A
// switching contact rests against each spring while nothing is plugged; a plug
// lifts the springs off them. A sleeve is never switched. A panel is all the
// metal of a room with one patch in it. Two sources fight when current flows
// from one into the other.
//
// The package is a witness beside the model: it takes the values of a studio and
// a patch and nothing that computes with them, so that one misreading of what a
// bay does cannot cancel itself out. All gear and every matrix stands on one
// earth, which is ground; their ports have the impedances of their lines.
package contacts

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Resistances of metal. Their size does not matter as long as it is far below
// that of a source or a load and above zero: common practice, no published
// source.
const (
	contactResistance Ohm = 0.02
	cordResistance    Ohm = 0.15
	shieldResistance  Ohm = 0.02
	wireResistance    Ohm = 0.1
	relayResistance   Ohm = 0.1
)

// metal is what a jack, or one port of a matrix or gear, is made of. The sleeve
// of a port is its chassis, which is ground.
type metal struct {
	tip, ring, sleeve Node
}

// Panel is the metal of a room with one patch in it.
type Panel struct {
	network Network
	metal   map[name.Point]metal
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
	// circuits are what listens behind inputs that a socket at the front can take
	// over.
	circuits map[name.Point]metal
	// lifted is what of a gear output rises with its chassis.
	lifted map[name.Point][]leg
	faults []Fault
}

// Build puts a patch into a room. It fails on a point that the room does not
// have, and on a jack with two plugs.
func Build(s *studio.Studio, p patch.Patch) (*Panel, error) { return BuildWith(s, p, nil) }

// BuildWith is Build with cords that have faults.
func BuildWith(s *studio.Studio, p patch.Patch, faults []Fault) (*Panel, error) {
	b := &Panel{
		faults:   faults,
		metal:    map[name.Point]metal{},
		plugged:  map[name.Point]bool{},
		isGear:   map[name.Point]bool{},
		selects:  map[name.Point][]name.Point{},
		passes:   map[name.Point][]name.Point{},
		circuits: map[name.Point]metal{},
		lifted:   map[name.Point][]leg{},
	}
	for _, jack := range p.Plugs() {
		if b.plugged[jack] {
			return nil, fmt.Errorf("two plugs in %s; a jack takes one", jack)
		}
		b.plugged[jack] = true
	}
	b.gear(s, p)
	b.matrices(s.Matrices, p)
	b.bays(s)
	if err := b.rear(s); err != nil {
		return nil, err
	}
	return b, b.front(s, p)
}

// jack adds the metal of a jack, whose sleeve stands alone.
func (b *Panel) jack(p name.Point) {
	b.metal[p] = metal{b.network.Node(), b.network.Node(), b.network.Node()}
}

// port adds the metal of a port of gear or of a matrix.
func (b *Panel) port(p name.Point) metal {
	m := metal{b.network.Node(), b.network.Node(), ground}
	b.metal[p] = m
	return m
}

func (b *Panel) has(p name.Point) bool {
	_, ok := b.metal[p]
	return ok
}

// join leads all three conductors of one named point to those of another.
func (b *Panel) join(p, q name.Point, r Ohm) error {
	for _, point := range []name.Point{p, q} {
		if !b.has(point) {
			return fmt.Errorf("the room has no %s", point)
		}
	}
	x, y := b.metal[p], b.metal[q]
	b.network.Resistor(x.tip, y.tip, r)
	b.network.Resistor(x.ring, y.ring, r)
	b.network.Resistor(x.sleeve, y.sleeve, shieldResistance)
	return nil
}
