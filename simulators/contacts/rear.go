package contacts

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// rear is what is soldered behind the bays. Shields go through: a wire leads
// the chassis of its gear to the sleeve of the jack.
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

// sleeves are what a bay does with them at the rear. The schemes are those of
// the patch bay page of av-info.eu; that a bus is taken to earth is common
// practice, no published source.
func (b *Panel) sleeves(bay studio.Bay) {
	switch bay.Ground {
	case studio.Bussed:
		b.bus(bay, studio.Bay.TopJack)
		b.bus(bay, studio.Bay.BottomJack)
	case studio.Strapped:
		for n := 1; n <= bay.Pairs(); n++ {
			b.network.Resistor(b.metal[bay.TopJack(n)].sleeve, b.metal[bay.BottomJack(n)].sleeve, shieldResistance)
		}
	case studio.Separate, studio.GroundUnsaid:
	}
}

// bus leads a wire along the sleeves of a row, and to earth.
func (b *Panel) bus(bay studio.Bay, jack func(studio.Bay, int) name.Point) {
	before := ground
	for n := 1; n <= bay.Pairs(); n++ {
		sleeve := b.metal[jack(bay, n)].sleeve
		b.network.Resistor(before, sleeve, shieldResistance)
		before = sleeve
	}
}
