package matrix

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// MismatchedGang is the first gang that a device moves together and a matrix does not; nil where
// the outputs under stereo: of the matrix are those that its device moves together, or
// where it moves each alone.
func MismatchedGang(d *device.Description, m studio.Matrix) []name.Point {
	for _, gang := range d.Gangs.All(m.Outputs) {
		var outputs []name.Point
		for _, output := range gang {
			outputs = append(outputs, m.Out(output))
		}
		if !slices.ContainsFunc(m.Stereo, func(group []name.Point) bool { return slices.Equal(group, outputs) }) {
			return outputs
		}
	}
	return nil
}

// checkGangs refuses a matrix that is said to move outputs alone which its device moves
// together: every plan would be wrong.
func checkGangs(d *device.Description, m studio.Matrix) error {
	apart := MismatchedGang(d, m)
	if apart == nil {
		return nil
	}
	return fmt.Errorf("%s moves %s together, and the studio does not say so; write under %s: stereo: %s", d.Name, portList(apart), m.Name, Stereo(d, m.Outputs))
}

func portList(points []name.Point) string {
	var names []string
	for _, p := range points {
		names = append(names, p.Port())
	}
	last := len(names) - 1
	if last < 1 {
		return strings.Join(names, "")
	}
	return phrase.Put("{outputs} and {last}", "outputs", strings.Join(names[:last], ", "), "last", names[last])
}

// Stereo is what the studio has to say of a device with gangs, for so many outputs.
func Stereo(d *device.Description, outputs int) string {
	text := "["
	for i, gang := range d.Gangs.All(outputs) {
		if i > 0 {
			text += ", "
		}
		for k, output := range gang {
			text += [...]string{"[", ", "}[min(k, 1)] + fmt.Sprintf("out%d", output)
		}
		text += "]"
	}
	return text + "]"
}

// leading turns crosspoints into those that the device is told of: of a gang the one
// of its first output, with which it moves the others. What no message can name that
// way is an error, or where it is only to be opened stays as it is.
func (m *Matrix) leading(list []message.Crosspoint, opening bool) ([]message.Crosspoint, error) {
	if !m.talk.device.Gangs.Any() {
		return list, nil
	}
	var leads []message.Crosspoint
	for _, x := range list {
		lead, fits := m.talk.codec.Lead(x)
		switch {
		case fits:
		case opening && m.talk.device.Switching == device.ByOutput:
			lead.Input = 0 // what the output had is no matter
		case opening:
			lead = x
		default:
			gang, _ := m.talk.codec.Gang(x.Output)
			return nil, fmt.Errorf("outputs %v move together, and there are no inputs for them all with input %d on output %d", gang, x.Input, x.Output)
		}
		leads = append(leads, lead)
	}
	slices.SortFunc(leads, message.Crosspoint.Compare)
	return slices.Compact(leads), nil
}

// Split names the outputs that the device moves together and that listen to inputs
// which do not belong together, in what was read of it.
func (m *Matrix) Split(closed []patch.Crosspoint) []string {
	var split []string
	for _, gang := range m.talk.device.Gangs.All(m.talk.studio.Outputs) {
		var outputs []name.Point
		for _, output := range gang {
			outputs = append(outputs, m.talk.studio.Out(output))
		}
		apart := slices.ContainsFunc(closed, func(c patch.Crosspoint) bool {
			place := slices.Index(outputs, c.Output)
			return place >= 0 && slices.ContainsFunc(outputs, func(other name.Point) bool {
				with := m.talk.studio.In(c.Input.Number - place + slices.Index(outputs, other))
				return !slices.Contains(closed, patch.Crosspoint{Output: other, Input: with})
			})
		})
		if apart {
			split = append(split, portList(outputs))
		}
	}
	return split
}
