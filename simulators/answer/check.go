package answer

import (
	"bytes"
	"fmt"
	"slices"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
)

// check tries every number of an output, an input or a parameter at the ends
// of its range, so that a matrix too large for its description is refused at
// the start.
func (d *Device) check() error {
	for _, e := range d.description.Exchanges {
		for _, f := range slices.Concat(e.Send, e.Answer, e.End, e.Refusal, e.Busy, e.Wait, e.Cancelled) {
			if err := d.checkField(f); err != nil {
				return fmt.Errorf("message %s: %w", e.Role, err)
			}
		}
	}
	return nil
}

func (d *Device) checkField(f device.Field) error {
	if f.Kind == device.Object {
		return nil // JSON has numbers of any size
	}
	for _, choice := range f.Choices {
		for _, inner := range choice {
			if err := d.checkField(inner); err != nil {
				return err
			}
		}
	}
	for _, inner := range f.Of {
		if f.Kind == device.Packed {
			inner.Base = f.Base // its own bits are looked at when it is written
		}
		if err := d.checkField(inner); err != nil {
			return err
		}
	}
	if f.Kind != device.Number {
		return nil
	}
	for _, end := range d.ends(f.Value) {
		if _, err := d.settings.writeNumber(nil, f, end); err != nil {
			return err
		}
	}
	return nil
}

// ends are the lowest and the highest number that must fit a field.
func (d *Device) ends(value string) []int {
	outputs, inputs := d.matrix.Size()
	switch value {
	case outputValue:
		return []int{1, outputs}
	case inputValue:
		// Whether input 0, off, is ever sent depends on the message.
		return []int{1, inputs}
	}
	if n, ok := d.settings.number(value); ok {
		return []int{n}
	}
	return nil
}

// understands sends each request of the description to the device itself. One that
// the stream does not cut out, or that is taken for another, would leave whoever asks
// without an answer, so it is refused at the start.
func (d *Device) understands() error {
	outputs, inputs := d.matrix.Size()
	says := reply{changes: []matrix.Crosspoint{{Output: matrix.Output(outputs), Input: matrix.Input(inputs)}}, numbers: map[string]int{}}
	for _, e := range d.description.Exchanges {
		if len(e.Send) == 0 {
			continue
		}
		w := &writer{device: d, reply: says, now: says.changes[0]}
		request, err := w.whole(e.Send)
		request = d.stuff(request)
		if err != nil {
			return fmt.Errorf("message %s: %w", e.Role, err)
		}
		if end := d.description.Frame.Requests; !bytes.HasSuffix(request, end) {
			request = append(request, end...) // some leave it out of their fields
		}
		if !d.hears(request) {
			return fmt.Errorf("message %s: %q is sent, and this simulator finds no whole message in it: nothing ends it as the frame says", e.Role, request)
		}
	}
	return nil
}

// hears says whether the stream cuts a request out whole.
func (d *Device) hears(request []byte) bool {
	defer d.Clear()
	messages, last := 0, false
	for _, b := range request {
		last = d.stream.add(b) != nil
		if last {
			messages++
		}
	}
	return last && (messages == 1 || d.description.Frame.Kind == device.MIDIMessages)
}
