package message

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"bayhand/model/device"
)

// scope is the crosspoint that numbers speak of inside a round of each.
type scope struct {
	inside     bool
	crosspoint Crosspoint
}

// writer writes one message.
type writer struct {
	codec *Codec
	says  Says
	out   bytes.Buffer
	// length is that of the whole message, once it is known.
	length int
	// answers is true for the device's side of an exchange, which may run through all
	// outputs, or through nothing.
	answers bool
	// pauses are where what is sent has a rest.
	pauses []rest
}

// rest is a pause after so many bytes.
type rest struct{ after, milliseconds int }

// message writes all of it: twice where it says how long it is, since its
// length does not depend on what it says.
func (w *writer) message(fields []device.Field) ([]byte, error) {
	if err := w.fields(fields, scope{}); err != nil {
		return nil, err
	}
	if !device.Carries(fields, "length") {
		return w.out.Bytes(), nil
	}
	w.length = w.out.Len()
	w.out.Reset()
	w.pauses = nil
	err := w.fields(fields, scope{})
	return w.out.Bytes(), err
}

func (w *writer) fields(fields []device.Field, s scope) error {
	for _, f := range fields {
		if err := w.field(f, s); err != nil {
			return err
		}
	}
	return nil
}

func (w *writer) field(f device.Field, s scope) error {
	switch f.Kind {
	case device.Literal:
		w.out.Write(f.Bytes)
		return nil
	case device.Number:
		return w.number(f, s)
	case device.Text:
		w.out.Write(filled(f, fitted(w.codec, f, w.text(f.Value)), ' '))
		return nil
	case device.Each:
		return w.each(f)
	case device.Block:
		return w.block(f, s)
	case device.Channels:
		return w.channels(f)
	case device.Checked:
		start := w.out.Len()
		if err := w.fields(f.Of, s); err != nil {
			return err
		}
		w.out.Write(checksum(f.Check, w.out.Bytes()[start:]))
		return nil
	case device.Hexed, device.Nibbles, device.Sevens:
		inner := writer{codec: w.codec, says: w.says, length: w.length, answers: w.answers}
		if err := inner.fields(f.Of, s); err != nil {
			return err
		}
		w.out.Write(recode(f, inner.out.Bytes()))
		return nil
	case device.Packed:
		return w.packed(f, s)
	case device.Either:
		return w.fields(f.Choices[0], s)
	case device.Bitmap:
		return w.bitmap(f, s)
	case device.Object:
		return w.object(f, s)
	case device.Pause:
		w.pauses = append(w.pauses, rest{w.out.Len(), f.Milliseconds})
		return nil
	case device.FieldUnknown:
	}
	return fmt.Errorf("the field %v cannot be written", f.Kind)
}

func (w *writer) number(f device.Field, s scope) error {
	n, err := w.worth(f, s)
	if err != nil {
		return err
	}
	text, err := w.wire(f, n)
	if err != nil {
		return fmt.Errorf("%s %d: %w", f.Value, n, err)
	}
	w.out.Write(text)
	return nil
}

// wire is a number as it stands in the message: its word, or its bits in their
// base.
func (w *writer) wire(f device.Field, n int) ([]byte, error) {
	if n == 0 && f.Value == "input" && len(f.Off) > 0 {
		return filled(f, f.Off, ' '), nil
	}
	if len(f.Words) > 0 {
		text, err := word(f, n)
		return filled(f, text, ' '), err
	}
	n, err := w.codec.piece(f, n)
	if err != nil {
		return nil, err
	}
	return digits(f, n)
}

// worth is the number that stands for a field.
func (w *writer) worth(f device.Field, s scope) (int, error) {
	n, err := w.value(f.Value, s)
	if err != nil {
		return 0, err
	}
	counted, err := countedInGangs(w.codec, f, n)
	if err != nil {
		return 0, fmt.Errorf("%s %d: %w", f.Value, n, err)
	}
	return counted, nil
}

// value is the number that stands for a word of the description.
func (w *writer) value(word string, s scope) (int, error) {
	switch word {
	case "output", "input":
		c := s.crosspoint
		if !s.inside {
			if len(w.says.Crosspoints) != 1 {
				return 0, fmt.Errorf("one message carries one output, not %d", len(w.says.Crosspoints))
			}
			c = w.says.Crosspoints[0]
		}
		if err := w.codec.exists(c); err != nil {
			return 0, err
		}
		if word == "output" {
			return c.Output, nil
		}
		return c.Input, nil
	case "packet":
		if w.says.Packet < 0 || w.says.Packet > MaxPacket {
			return 0, fmt.Errorf("the packet number %d is not from 0 to %d", w.says.Packet, MaxPacket)
		}
		return w.says.Packet, nil
	case "code":
		return w.says.Code, nil
	case "preset":
		return w.says.Preset, nil
	case "closed":
		return 0, nil
	case "length":
		return max(0, w.length-w.codec.description.Frame.Length.Add), nil
	}
	return w.codec.numbers[word], nil
}

// exists says whether the matrix has the crosspoint; its error is ErrValue.
func (c *Codec) exists(x Crosspoint) error {
	if x.Output < 1 || x.Output > c.outputs {
		return fmt.Errorf("%w: output %d of a matrix that has 1 to %d", ErrValue, x.Output, c.outputs)
	}
	if x.Input < 0 || x.Input > c.inputs {
		return fmt.Errorf("%w: input %d of a matrix that has 1 to %d", ErrValue, x.Input, c.inputs)
	}
	return nil
}

// fitted is a label as the device takes it: in ASCII, without what opens or closes its
// messages, and no longer than its display. Other texts stay as they are.
func fitted(c *Codec, f device.Field, text string) []byte {
	if f.Value != "label" {
		return []byte(text)
	}
	frame := c.description.Frame
	ends := string(frame.End) + string(frame.Requests)
	switch {
	case len(frame.Escaped) > 0:
		ends = "" // they are escaped
	case frame.Kind == device.Delimited:
		ends += string(frame.Start)
	}
	var out []byte
	for _, r := range text {
		if r < ' ' || r > '~' || strings.ContainsRune(ends, r) {
			r = '?'
		}
		out = append(out, byte(r))
	}
	if f.Width > 0 && len(out) > f.Width {
		out = out[:f.Width]
	}
	return out
}

// text is the text that stands for a word of the description.
func (w *writer) text(word string) string {
	if word == "label" {
		return w.says.Label
	}
	if parameter, ok := w.codec.words[word]; ok || !w.answers {
		return parameter
	}
	switch word {
	case "identity":
		return w.says.Identity
	case "message":
		return w.says.Text
	}
	return ""
}

func (w *writer) each(f device.Field) error {
	rounds := w.rounds(f.Over)
	if len(rounds) == 0 && !w.answers {
		return errors.New("there is no crosspoint to send")
	}
	if len(rounds) == 0 {
		w.out.Write(f.None)
	}
	for i, c := range rounds {
		if i > 0 {
			w.out.Write(f.Separator)
		}
		if err := w.fields(f.Of, scope{inside: true, crosspoint: c}); err != nil {
			return err
		}
	}
	return nil
}

// rounds are the crosspoints that an Each runs through; for the device's side also
// every output, or every input of one.
func (w *writer) rounds(over device.Over) []Crosspoint {
	if over == device.Changes {
		return w.says.Crosspoints
	}
	about, count, step := Crosspoint{Output: 1, Input: 1}, w.codec.outputs, 1
	if len(w.says.Crosspoints) > 0 {
		about = w.says.Crosspoints[0]
	}
	switch of := w.codec.description.Gangs.Of; {
	case over == device.Inputs:
		count = w.codec.inputs
	case over == device.EachGang && of > 0:
		count, step = count/of, of
	}
	rounds := make([]Crosspoint, count)
	for i := range rounds {
		rounds[i] = Crosspoint{Output: i*step + 1, Input: about.Input}
		if over == device.Inputs {
			rounds[i] = Crosspoint{Output: about.Output, Input: i + 1}
		}
	}
	return rounds
}
