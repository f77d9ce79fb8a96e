package message

import (
	"errors"
	"fmt"

	"bayhand/model/device"
)

// check looks through every message, so that writing and reading later meet
// only fields that they know.
func (c *Codec) check() error {
	switch c.description.Frame.Kind {
	case device.Lines:
		if len(c.description.Frame.End) == 0 {
			return errors.New("its lines have no end")
		}
	case device.MIDIMessages:
	case device.FrameUnknown:
		return errors.New("it does not say how its messages are framed")
	}
	if err := c.checkSwitching(); err != nil {
		return err
	}
	for _, e := range c.description.Exchanges {
		if err := c.checkExchange(e); err != nil {
			return fmt.Errorf("the message %s: %w", e.Role, err)
		}
	}
	return nil
}

func (c *Codec) checkSwitching() error {
	needs := []device.Role{device.Close, device.Open}
	switch c.description.Switching {
	case device.ByOutput:
		needs = []device.Role{device.Set}
	case device.ByCrosspoint:
	case device.SwitchingUnknown:
		return errors.New("it does not say whether it switches by-crosspoint or by-output")
	}
	for _, role := range needs {
		if e, ok := c.description.Exchange(role); !ok || len(e.Send) == 0 {
			return fmt.Errorf("it switches %s and has no message %s", c.description.Switching, role)
		}
	}
	return nil
}

func (c *Codec) checkExchange(e device.Exchange) error {
	for _, part := range []struct {
		name   string
		fields []device.Field
		sent   bool
	}{{"send", e.Send, true}, {"answer", e.Answer, false}, {"refusal", e.Refusal, false}} {
		if err := c.checkFields(part.fields, part.sent, false); err != nil {
			return fmt.Errorf("%s: %w", part.name, err)
		}
		if part.sent {
			continue
		}
		if err := c.checkBlocks(part.fields); err != nil {
			return fmt.Errorf("%s: %w", part.name, err)
		}
	}
	if e.Role == device.Errors && !carries(e.Answer, "code") {
		return errors.New("its answer needs a number that is the code")
	}
	if e.Role != device.Report && len(e.Send) == 0 {
		return errors.New("there is nothing to send")
	}
	return nil
}

func (c *Codec) checkFields(fields []device.Field, sent, inside bool) error {
	for i, f := range fields {
		if err := c.checkField(f, sent, inside); err != nil {
			return fmt.Errorf("field %d, %s: %w", i+1, f.Kind, err)
		}
	}
	return nil
}

func (c *Codec) checkField(f device.Field, sent, inside bool) error {
	switch f.Kind {
	case device.Literal:
		if len(f.Bytes) == 0 {
			return errors.New("it has no bytes")
		}
		return nil
	case device.Number:
		return c.checkNumber(f)
	case device.Text:
		if _, parameter := c.words[f.Value]; !parameter && (sent || f.Value != "message" && f.Value != "identity") {
			return fmt.Errorf("%q is not text that can stand here", f.Value)
		}
		return nil
	case device.Each:
		return c.checkEach(f, sent, inside)
	case device.Block:
		return c.checkFields(f.Of, sent, inside)
	case device.Channels:
		if inside {
			return errors.New("a channel list cannot stand inside each")
		}
		return nil
	case device.FieldUnknown:
	}
	return errors.New("the kind of field is not known")
}

func (c *Codec) checkNumber(f device.Field) error {
	if f.Base == device.BaseUnknown {
		return errors.New("it has no base")
	}
	switch f.Value {
	case "output", "input", "code", "packet":
		return nil
	}
	if _, number := c.numbers[f.Value]; !number {
		return fmt.Errorf("%q is neither output, input, code, packet nor a parameter that is a number", f.Value)
	}
	return nil
}

func (c *Codec) checkEach(f device.Field, sent, inside bool) error {
	switch {
	case inside:
		return errors.New("each cannot stand inside each")
	case f.Over == device.OverUnknown:
		return errors.New("it does not say what it runs through: changes or outputs")
	case sent && f.Over == device.Outputs:
		return errors.New("a message that is sent runs through changes only; all outputs at once would move those that nobody asked to move")
	case len(f.Of) == 0:
		return errors.New("it repeats nothing")
	}
	return c.checkFields(f.Of, sent, true)
}

// checkBlocks finds where blocks begin, since the framer has to know: the byte
// that ends a line may stand inside one.
func (c *Codec) checkBlocks(fields []device.Field) error {
	var before []byte
	known := true
	for _, f := range fields {
		switch f.Kind {
		case device.Block:
			if !known {
				return errors.New("a block comes first or after literal bytes only; elsewhere the end of the line cannot be told")
			}
			c.blockAfter = append(c.blockAfter, before)
			known = false
		case device.Literal:
			before = append(before[:len(before):len(before)], f.Bytes...)
		case device.Number, device.Text, device.Each, device.Channels, device.FieldUnknown:
			known = false
		}
	}
	return nil
}
