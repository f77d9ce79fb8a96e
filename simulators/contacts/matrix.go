package contacts

import (
	"fmt"

	"bayhand/model/patch"
	"bayhand/model/studio"
)

// matrices places the inputs and outputs of every matrix, and the amplifiers
// behind the outputs of those that have them. An amplifier without a crosspoint
// drives silence, which is a source at 0 V, unless it lets go.
func (b *Panel) matrices(all []studio.Matrix, p patch.Patch) {
	for _, m := range all {
		amplifiers := m.Kind != studio.Contacts
		for n := 1; n <= m.Inputs; n++ {
			in := b.node(m.In(n))
			if amplifiers {
				b.network.Load(in, amplifierLoad)
			}
		}
		for n := 1; n <= m.Outputs; n++ {
			out := m.Out(n)
			b.node(out)
			on := p.Inputs(out)
			if amplifiers && (len(on) > 0 || !m.LetsGo) {
				b.drive(out, amplifierSource)
				b.selects[out] = on
			}
		}
	}
}

// relays closes the crosspoints that are metal, and looks whether the others
// exist.
func (b *Panel) relays(all []studio.Matrix, p patch.Patch) error {
	for _, m := range all {
		for _, c := range p.Of(m.Name) {
			if !b.has(c.Output) || !b.has(c.Input) || c.Input.Owner != m.Name {
				return fmt.Errorf("the room has no crosspoint from %s to %s", c.Input, c.Output)
			}
			if m.Kind != studio.Contacts {
				continue
			}
			if err := b.join(c.Input, c.Output, relayResistance); err != nil {
				return err
			}
		}
	}
	return nil
}
