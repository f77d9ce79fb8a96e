package contacts

import (
	"fmt"

	"bayhand/model/patch"
	"bayhand/model/studio"
)

// front is what is plugged.
func (b *Panel) front(s *studio.Studio, p patch.Patch) error {
	for jack := range b.plugged {
		if !b.has(jack) {
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

// cord plugs a cord. A two-pole plug has no ring: its long sleeve touches the
// jack's ring as well as the sleeve.
func (b *Panel) cord(c patch.Cord) error {
	for _, f := range b.faults {
		if f.Cord.Same(c) && !c.B.IsZero() {
			return b.faulty(f)
		}
	}
	if c.Poles != 2 {
		if c.B.IsZero() {
			return nil
		}
		return b.join(c.A, c.B, cordResistance)
	}
	for _, jack := range c.Ends() {
		b.network.Resistor(b.metal[jack].ring, b.metal[jack].sleeve, contactResistance)
	}
	if !c.B.IsZero() {
		x, y := b.metal[c.A], b.metal[c.B]
		b.network.Resistor(x.tip, y.tip, cordResistance)
		b.network.Resistor(x.sleeve, y.sleeve, shieldResistance)
	}
	return nil
}
