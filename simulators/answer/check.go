package answer

import (
	"fmt"
	"slices"

	"bayhand/model/device"
)

// check tries every number of an output, an input or a parameter at the ends
// of its range, so that a matrix too large for its description is refused at
// the start.
func (d *Device) check() error {
	for _, e := range d.description.Exchanges {
		for _, f := range slices.Concat(e.Send, e.Answer, e.Refusal, e.Busy, e.Wait, e.Cancelled) {
			if err := d.checkField(f); err != nil {
				return fmt.Errorf("message %s: %w", e.Role, err)
			}
		}
	}
	return nil
}

func (d *Device) checkField(f device.Field) error {
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
