package matrix

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"bayhand/drivers/message"
	"bayhand/model/device"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// presets are what is known for recalling a stored preset in the place of many
// messages. They are the owner's own.
type presets struct {
	// held is what the device was read to hold; nil where that may have changed since.
	held []patch.Crosspoint
	// target is what it is to hold after the changes that are being made; nil where that
	// is not known. expected is that of the preset that was recalled last, until it was
	// read.
	target, expected []patch.Crosspoint
	// useless is true once a preset was refused, or held what the description does not
	// say.
	useless bool
}

// wasRead takes in what the device was read to hold. A preset after which it holds
// something else than the description says is not recalled again.
func (m *Matrix) wasRead(read reading, err error) {
	p := &m.presets
	if p.held = nil; err != nil || len(read.unclear) > 0 {
		return
	}
	p.held = append([]patch.Crosspoint{}, read.closed...)
	if p.expected != nil && !slices.Equal(p.held, p.expected) {
		p.useless = true
	}
	p.expected = nil
}

// aims notes what the device is to hold once crosspoints were opened and closed.
func (m *Matrix) aims(open, closing []patch.Crosspoint) {
	p := &m.presets
	if p.target = nil; p.held == nil || m.talk.device.Switching != device.ByOutput || m.talk.studio.Kind != studio.Amplifiers {
		return
	}
	p.target = slices.DeleteFunc(slices.Clone(p.held), func(c patch.Crosspoint) bool {
		moves := func(d patch.Crosspoint) bool { return d.Output == c.Output }
		return slices.Contains(open, c) || slices.ContainsFunc(closing, moves)
	})
	p.target = append(p.target, closing...)
	slices.SortFunc(p.target, patch.Crosspoint.Compare)
	p.target = slices.Compact(p.target)
}

// forget is for what may have changed what the device holds.
func (m *Matrix) forget() { m.presets.held, m.presets.target = nil, nil }

// recallPreset recalls the stored preset that holds what is aimed at, in the place of
// several messages. It says whether that was done; one that the device refuses is
// not tried again, and the messages are sent.
func (m *Matrix) recallPreset(ctx context.Context, messages []changeMessage) (done bool, err error) {
	p := &m.presets
	if len(messages) < 2 || p.target == nil || p.useless {
		return false, nil
	}
	for _, preset := range m.talk.device.Presets {
		if !slices.Equal(m.contents(preset), p.target) {
			continue
		}
		c := changeMessage{role: device.RecallPreset, preset: preset.Number}
		for _, one := range messages {
			c.crosspoints = append(c.crosspoints, one.crosspoints...)
		}
		err := m.changeOnce(ctx, c)
		if errors.Is(err, ErrRefused) && !errors.Is(err, errGaveUp) {
			p.useless = true
			return false, nil
		}
		if p.expected = p.target; err != nil {
			err = fmt.Errorf("preset %d: %w", preset.Number, err)
		}
		return true, err
	}
	return false, nil
}

// contents are what a preset holds in this matrix, sorted.
func (m *Matrix) contents(preset device.Preset) []patch.Crosspoint {
	holds := []patch.Crosspoint{}
	for _, pair := range preset.Holds {
		holds = append(holds, patch.Crosspoint{Output: m.talk.studio.Out(pair[0]), Input: m.talk.studio.In(pair[1])})
	}
	slices.SortFunc(holds, patch.Crosspoint.Compare)
	return holds
}

// Label names the outputs and inputs of the matrix on the device's own display, where
// it has one: the first name is that of output, or input, 1; empty names are left as
// they are. It goes on after one that was refused, and returns the first error.
func (m *Matrix) Label(ctx context.Context, outputs, inputs []string) error {
	_, labelsOutputs := m.talk.device.Exchange(device.LabelOutput)
	_, labelsInputs := m.talk.device.Exchange(device.LabelInput)
	if !labelsOutputs && !labelsInputs {
		return nil
	}
	return m.talk.do(ctx, "label", func(ctx context.Context) error {
		var first error
		label := func(role device.Role, at message.Crosspoint, text string) error {
			if _, has := m.talk.device.Exchange(role); !has || text == "" {
				return nil
			}
			_, err := m.talk.askSaying(ctx, role, message.Says{Crosspoints: []message.Crosspoint{at}, Label: text})
			if first == nil && err != nil {
				first = err
			}
			if errors.Is(err, ErrRefused) {
				return nil
			}
			return err
		}
		for i, text := range outputs[:min(len(outputs), m.talk.studio.Outputs)] {
			if label(device.LabelOutput, message.Crosspoint{Output: i + 1}, text) != nil {
				return first
			}
		}
		for i, text := range inputs[:min(len(inputs), m.talk.studio.Inputs)] {
			if label(device.LabelInput, message.Crosspoint{Output: 1, Input: i + 1}, text) != nil {
				return first
			}
		}
		return first
	})
}
