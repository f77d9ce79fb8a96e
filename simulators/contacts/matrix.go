package contacts

import (
	"fmt"
	"slices"

	"bayhand/model/name"
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
			on := closed(m, p, out)
			if amplifiers && (len(on) > 0 || !m.HighImpedance) {
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
			if !b.has(c.Output) || !b.has(c.Input) || c.Input.Owner != m.Name || slices.Contains(m.Missing, studio.Absent(c)) {
				return fmt.Errorf("the room has no crosspoint from %s to %s", c.Input, c.Output)
			}
		}
		for n := 1; n <= m.Outputs && m.Kind == studio.Contacts; n++ {
			for _, in := range closed(m, p, m.Out(n)) {
				if err := b.join(in, m.Out(n), relayResistance); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// closed are the inputs that an output is closed to. Outputs that are switched
// together hang on one coil, that of the first: where it closes the first to an
// input, it closes the second to the one after that, whatever the patch says of
// the second.
func closed(m studio.Matrix, p patch.Patch, out name.Point) []name.Point {
	for _, group := range m.Stereo {
		at := slices.Index(group, out)
		if at < 0 {
			continue
		}
		var inputs []name.Point
		for _, in := range p.Inputs(group[0]) {
			inputs = append(inputs, m.In(in.Number+at))
		}
		return inputs
	}
	return p.Inputs(out)
}
