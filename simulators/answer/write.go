package answer

import (
	"bytes"
	"fmt"
	"slices"

	"bayhand/model/device"
	"bayhand/simulators/matrix"
	"bayhand/simulators/scpi"
)

// reply is what an answer says.
type reply struct {
	// changes are what an Each over changes, or a channel list, runs through.
	changes []matrix.Crosspoint
	// numbers and texts by the value of their field.
	numbers map[string]int
	texts   map[string]string
}

// writer puts a reply in bytes.
type writer struct {
	device *Device
	reply  reply
	// now is the change whose round it is.
	now matrix.Crosspoint
	// length is what the message says of its length; it is written twice where
	// it says so.
	length int
}

// write puts the fields of an answer in bytes.
func (d *Device) write(fields []device.Field, r reply) ([]byte, error) {
	w := &writer{device: d, reply: r}
	if len(r.changes) > 0 {
		w.now = r.changes[0] // for an answer that has no Each
	}
	message, err := w.whole(fields)
	if err != nil {
		return nil, err
	}
	frame := d.description.Frame
	if frame.Kind == device.Lines && !bytes.HasSuffix(message, frame.End) {
		message = append(message, frame.End...)
	}
	return w.device.stuff(message), nil
}

// whole is a message; it is written twice where it says how long it is.
func (w *writer) whole(fields []device.Field) ([]byte, error) {
	first := w.now
	message, err := w.fields(nil, fields)
	if frame := w.device.description.Frame; err == nil && frame.Kind == device.Counted {
		w.now, w.length = first, len(message)-frame.Length.Add
		message, err = w.fields(nil, fields)
	}
	return message, err
}

func (w *writer) fields(to []byte, fields []device.Field) ([]byte, error) {
	for _, f := range fields {
		var err error
		if to, err = w.field(to, f); err != nil {
			return nil, err
		}
	}
	return to, nil
}

func (w *writer) field(to []byte, f device.Field) ([]byte, error) {
	switch f.Kind {
	case device.Literal:
		return append(to, f.Bytes...), nil
	case device.Number:
		if f.Gang && f.Value == inputValue && w.gangSplit() {
			return w.device.settings.writeSplit(to, f), nil
		}
		return w.device.settings.writeNumber(to, f, w.count(f))
	case device.Text:
		return append(to, fill(f, []byte(w.text(f.Value)), ' ')...), nil
	case device.Each:
		return w.each(to, f)
	case device.Block:
		content, err := w.fields(nil, f.Of)
		return append(to, scpi.Block(string(content))...), err
	case device.Channels:
		rows := scpi.RowsNamed(w.device.settings.word(rowsParameter))
		return append(to, rows.List(w.reply.changes)...), nil
	case device.Checked:
		content, err := w.fields(nil, f.Of)
		return append(append(to, content...), guard(f.Check, content)...), err
	case device.Hexed:
		content, err := w.fields(nil, f.Of)
		return fmt.Appendf(to, "%X", content), err
	case device.Packed:
		return w.packed(to, f)
	default:
		return w.more(to, f)
	}
}

func (w *writer) each(to []byte, f device.Field) ([]byte, error) {
	list := w.rounds(f.Over)
	if len(list) == 0 {
		return append(to, f.None...), nil
	}
	for i, c := range list {
		if i > 0 {
			to = append(to, f.Separator...)
		}
		w.now = c
		var err error
		if to, err = w.fields(to, f.Of); err != nil {
			return nil, err
		}
	}
	return to, nil
}

// rounds are what an Each runs through.
func (w *writer) rounds(over device.Over) []matrix.Crosspoint {
	switch over {
	case device.Outputs:
		return w.device.everyOutput()
	case device.Inputs:
		return w.device.everyInput(w.now.Output)
	case device.EachGang:
		return slices.DeleteFunc(w.device.everyOutput(), func(c matrix.Crosspoint) bool {
			_, place := w.device.matrix.GangOf(c.Output)
			return place > 0
		})
	default:
		return w.reply.changes
	}
}

// packed writes numbers into one, the first of them highest.
func (w *writer) packed(to []byte, f device.Field) ([]byte, error) {
	whole := 0
	for _, part := range f.Of {
		room := 1 << part.Bits.Count
		value := 0
		if part.Kind == device.Literal {
			value = int(part.Bytes[0])
		} else {
			value = w.count(part) + w.device.settings.added(part)
			if part.Gang && part.Value == inputValue && w.gangSplit() {
				value = room - 1
			}
		}
		if value < 0 || value >= room {
			return nil, fmt.Errorf("%s is %d on the wire, and %d bits hold 0 to %d", part.Value, value, part.Bits.Count, room-1)
		}
		whole = whole*room + value
	}
	written, ok := fix(to, f.Base, whole)
	if !ok {
		return nil, fmt.Errorf("the bits of a packed number do not fit %s", f.Base)
	}
	return written, nil
}

// gangSplit says whether the gang of the output now listens to what no number stands for.
func (w *writer) gangSplit() bool {
	of := w.device.description.Gangs.Of
	return w.device.matrix.Split(w.now.Output) || w.now.Input > 0 && (int(w.now.Input)-1)%of != 0
}

// count is the number that stands for a field, counted in gangs where it says so.
func (w *writer) count(f device.Field) int {
	n := w.number(f.Value)
	if !f.Gang || n == 0 {
		return n
	}
	of := w.device.description.Gangs.Of
	return (n + of - 1) / of
}

func (w *writer) number(value string) int {
	switch value {
	case outputValue:
		return int(w.now.Output)
	case inputValue:
		return int(w.now.Input)
	case lengthValue:
		return w.length
	case closedValue:
		if w.device.matrix.Closed(w.now) {
			return 1
		}
		return 0
	}
	if n, ok := w.device.settings.number(value); ok {
		return n
	}
	return w.reply.numbers[value]
}

func (w *writer) text(value string) string {
	if text, ok := w.device.settings.text(value); ok {
		return text
	}
	if value == identityValue {
		return w.device.Identity()
	}
	return w.reply.texts[value]
}
