package answer

import (
	"bytes"
	"fmt"

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
}

// write puts the fields of an answer in bytes.
func (d *Device) write(fields []device.Field, r reply) ([]byte, error) {
	w := &writer{device: d, reply: r}
	if len(r.changes) > 0 {
		w.now = r.changes[0] // for an answer that has no Each
	}
	message, err := w.fields(nil, fields)
	if err != nil {
		return nil, err
	}
	if end := d.description.Frame.End; d.description.Frame.Kind == device.Lines && !bytes.HasSuffix(message, end) {
		message = append(message, end...)
	}
	return message, nil
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
		return writeNumber(to, f, w.number(f.Value))
	case device.Text:
		return append(to, w.text(f.Value)...), nil
	case device.Each:
		return w.each(to, f)
	case device.Block:
		content, err := w.fields(nil, f.Of)
		return append(to, scpi.Block(string(content))...), err
	case device.Channels:
		rows := scpi.RowsNamed(w.device.settings.word(rowsParameter))
		return append(to, rows.List(w.reply.changes)...), nil
	case device.FieldUnknown:
	}
	return nil, fmt.Errorf("a field of kind %s in an answer", f.Kind)
}

func (w *writer) each(to []byte, f device.Field) ([]byte, error) {
	list := w.reply.changes
	if f.Over == device.Outputs {
		list = w.device.everyOutput()
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

func (w *writer) number(value string) int {
	switch value {
	case outputValue:
		return int(w.now.Output)
	case inputValue:
		return int(w.now.Input)
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
