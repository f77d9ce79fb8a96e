package contacts

import (
	"fmt"

	"bayhand/model/patch"
	"bayhand/model/studio"
)

// amplifier is the circuit at the inputs and outputs of a matrix of amplifiers:
// common practice, no published source.
var amplifier = studio.Line{Source: 100, Load: 10e3, Balanced: true}

// matrices places the inputs and outputs of every matrix, and the amplifiers
// behind the outputs of those that have them. An amplifier without a crosspoint
// drives silence, which is a source at 0 V, unless it lets go.
func (b *Panel) matrices(all []studio.Matrix, p patch.Patch) {
	for _, m := range all {
		amplifiers := m.Kind != studio.Contacts
		for n := 1; n <= m.Inputs; n++ {
			in := b.port(m.In(n))
			if amplifiers {
				b.listen(in, amplifier)
			}
		}
		for n := 1; n <= m.Outputs; n++ {
			out := m.Out(n)
			made := b.port(out)
			on := p.Inputs(out)
			if amplifiers && (len(on) > 0 || !m.LetsGo) {
				b.drive(out, made, amplifier)
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
