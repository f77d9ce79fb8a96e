package contacts

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// bays places the springs of every jack and of the sockets of boxes, and wires the pairs as their modules
// are made, and the normals that are strapped from pair to pair.
func (b *Panel) bays(s *studio.Studio) {
	for _, bay := range s.Bays {
		for i, mode := range bay.Modes {
			top, bottom := bay.TopJack(i+1), bay.BottomJack(i+1)
			b.jack(top)
			b.jack(bottom)
			dead := slices.Contains(s.FaultyNormals, top)
			b.module(mode, top, bottom, dead)
		}
		b.sleeves(bay)
	}
	for _, box := range s.Boxes {
		for n := 1; n <= box.Sockets; n++ {
			b.jack(box.Socket(n))
		}
	}
	for _, n := range s.Normals {
		if b.has(n.From) && b.has(n.To) {
			b.strap(b.contact(n.To, false), b.springs(n.From))
		}
	}
}

// module wires the inside of one pair. A pair is normalled through switching
// contacts at each jack whose plug is to break it, and straight from the springs
// at a jack whose plug only taps. Through a dead normal no contact closes.
func (b *Panel) module(mode studio.Mode, top, bottom name.Point, dead bool) {
	switch mode {
	case studio.FullNormal:
		b.strap(b.contact(top, dead), b.contact(bottom, dead))
	case studio.HalfNormal:
		b.strap(b.springs(top), b.contact(bottom, dead))
	case studio.HalfNormalTop:
		b.strap(b.contact(top, dead), b.springs(bottom))
	case studio.Parallel:
		b.strap(b.springs(top), b.springs(bottom))
	case studio.Isolated, studio.ModeUnknown:
	}
}

// switched is the two pieces of metal of a jack that a normal is wired from:
// its springs, or the contacts that rest against them.
type switched struct{ tip, ring Node }

func (b *Panel) springs(jack name.Point) switched {
	return switched{b.metal[jack].tip, b.metal[jack].ring}
}

// contact adds a switching contact to each spring of a jack. It rests against
// the spring unless a plug has lifted it, or the contact is dead.
func (b *Panel) contact(jack name.Point, dead bool) switched {
	c := switched{b.network.Node(), b.network.Node()}
	if !b.plugged[jack] && !dead {
		b.network.Resistor(b.metal[jack].tip, c.tip, contactResistance)
		b.network.Resistor(b.metal[jack].ring, c.ring, contactResistance)
	}
	return c
}

func (b *Panel) strap(x, y switched) {
	b.network.Resistor(x.tip, y.tip, wireResistance)
	b.network.Resistor(x.ring, y.ring, wireResistance)
}
