package contacts

import (
	"fmt"

	"bayhand/model/patch"
)

// Open is the resistance of a conductor that is broken: that of the air.
const Open Ohm = 1e12

// Fault is what is wrong with a cord of three poles where it is. A conductor of 0
// ohm is whole.
type Fault struct {
	Cord              patch.Cord
	Hot, Cold, Sleeve Ohm
	// Reversed has hot and cold exchanged at its second plug.
	Reversed bool
	// HalfIn says of the plug at each end, in the order of the cord, that it does
	// not sit: its tip touches the spring of the ring, its ring and sleeve the
	// bushing, and the spring of the tip touches nothing. Its contacts are lifted
	// all the same.
	HalfIn [2]bool
}

// faulty plugs a cord with a fault.
func (b *Panel) faulty(f Fault) error {
	for _, jack := range f.Cord.Ends() {
		if !b.has(jack) {
			return fmt.Errorf("the room has no %s", jack)
		}
	}
	x, y := b.plug(f.Cord, 0, f.HalfIn[0]), b.plug(f.Cord, 1, f.HalfIn[1])
	if f.Reversed {
		y.tip, y.ring = y.ring, y.tip
	}
	b.network.Resistor(x.tip, y.tip, f.Hot+cordResistance)
	b.network.Resistor(x.ring, y.ring, f.Cold+cordResistance)
	b.network.Resistor(x.sleeve, y.sleeve, f.Sleeve+shieldResistance)
	return nil
}

// plug is the metal of one plug in its jack.
func (b *Panel) plug(c patch.Cord, end int, half bool) metal {
	jack := b.metal[c.Ends()[end]]
	plug := metal{b.network.Node(), b.network.Node(), b.network.Node()}
	b.network.Resistor(plug.sleeve, jack.sleeve, contactResistance)
	if half {
		b.network.Resistor(plug.tip, jack.ring, contactResistance)
		b.network.Resistor(plug.ring, jack.sleeve, contactResistance)
		return plug
	}
	b.network.Resistor(plug.tip, jack.tip, contactResistance)
	b.network.Resistor(plug.ring, jack.ring, contactResistance)
	return plug
}
