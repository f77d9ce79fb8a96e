package contacts

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// bays places the springs of every jack, and wires the pairs as their modules
// are made, and the normals that are strapped from pair to pair.
func (b *Panel) bays(s *studio.Studio) {
	for _, bay := range s.Bays {
		for i, mode := range bay.Modes {
			top, bottom := bay.TopJack(i+1), bay.BottomJack(i+1)
			b.node(top)
			b.node(bottom)
			dead := slices.Contains(s.FaultyNormals, top)
			b.module(mode, top, bottom, dead)
		}
	}
	for _, n := range s.Normals {
		if b.has(n.From) && b.has(n.To) {
			b.strap(b.contact(n.To, false), b.nodes[n.From])
		}
	}
}

func (b *Panel) has(p name.Point) bool {
	_, ok := b.nodes[p]
	return ok
}

// module wires the inside of one pair. A pair is normalled through a switching
// contact at each jack whose plug is to break it, and straight from the spring
// at a jack whose plug only taps. Through a dead normal no contact closes.
func (b *Panel) module(mode studio.Mode, top, bottom name.Point, dead bool) {
	switch mode {
	case studio.FullNormal:
		b.strap(b.contact(top, dead), b.contact(bottom, dead))
	case studio.HalfNormal:
		b.strap(b.nodes[top], b.contact(bottom, dead))
	case studio.HalfNormalTop:
		b.strap(b.contact(top, dead), b.nodes[bottom])
	case studio.Parallel:
		b.strap(b.nodes[top], b.nodes[bottom])
	case studio.Isolated, studio.ModeUnknown:
	}
}

// contact adds a switching contact to a jack. It rests against the jack's
// spring unless a plug has lifted the spring, or the contact is dead.
func (b *Panel) contact(jack name.Point, dead bool) Node {
	n := b.network.Node()
	if !b.plugged[jack] && !dead {
		b.network.Resistor(b.nodes[jack], n, contactResistance)
	}
	return n
}

func (b *Panel) strap(x, y Node) { b.network.Resistor(x, y, wireResistance) }
