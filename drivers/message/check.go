package message

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/device"
)

// checker is what looks a codec through once, before anybody is given it.
type checker struct{ *Codec }

// check looks through every message, so that writing and reading later meet
// only fields that they know.
func (c checker) check() error {
	switch c.description.Frame.Kind {
	case device.Lines:
		if len(c.description.Frame.End) == 0 {
			return errors.New("its lines have no end")
		}
	case device.Counted:
		if err := checkCounted(c.description.Frame); err != nil {
			return err
		}
	case device.Delimited:
		if len(c.description.Frame.Start) == 0 || len(c.description.Frame.End) == 0 {
			return errors.New("its messages need bytes that open and bytes that close them")
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

func (c checker) checkSwitching() error {
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

func checkCounted(f device.Frame) error {
	switch {
	case len(f.Start) == 0:
		return errors.New("nothing says where its messages start")
	case lengthSize(f.Length) == 0:
		return errors.New("its length is not a number of a fixed number of bytes or digits")
	case f.Length.At < len(f.Start):
		return errors.New("its length stands inside the start of the message")
	}
	return nil
}

func (c checker) checkExchange(e device.Exchange) error {
	for _, part := range []struct {
		name   string
		fields []device.Field
	}{{"send", e.Send}, {"answer", e.Answer}, {"end", e.End}, {"refusal", e.Refusal}, {"busy", e.Busy}, {"wait", e.Wait}, {"cancelled", e.Cancelled}} {
		at := where{role: e.Role, sent: part.name == "send"}
		if err := c.checkFields(part.fields, at); err != nil {
			return fmt.Errorf("%s: %w", part.name, err)
		}
		if at.sent {
			continue
		}
		if err := c.checkBlocks(part.fields); err != nil {
			return fmt.Errorf("%s: %w", part.name, err)
		}
	}
	if n := len(e.Send); n > 0 && (e.Send[0].Kind == device.Pause || e.Send[n-1].Kind == device.Pause) {
		return errors.New("send: a pause stands between two parts; after the last one the answer would be missed")
	}
	return checkRole(e)
}

// checkRole says whether a message has what its role needs.
func checkRole(e device.Exchange) error {
	aboutOne := e.Role == device.ReadOutput || e.Role == device.ReadRow
	switch {
	case e.Role != device.Report && e.Role != device.Notice && len(e.Send) == 0:
		return errors.New("there is nothing to send")
	case e.Role == device.Errors && !device.Carries(e.Answer, "code"):
		return errors.New("its answer needs a number that is the code")
	case aboutOne && !device.Carries(e.Send, "output") && !listsRow(e.Send):
		return errors.New("it does not say which output it asks about")
	case e.Role == device.ReadOutput && !device.Carries(e.Answer, "input"):
		return errors.New("its answer needs a number that is the input")
	case e.Role == device.ReadRow && !device.Carries(e.Answer, "closed"):
		return errors.New("its answer needs {each: inputs} with a number that says whether each is closed")
	}
	return nil
}

func listsRow(fields []device.Field) bool {
	return slices.ContainsFunc(fields, func(f device.Field) bool {
		return f.Kind == device.Channels && f.Over == device.Inputs || listsRow(f.Of)
	})
}

// checkBlocks finds where blocks begin, since the framer has to know: the byte
// that ends a line may stand inside one.
func (c checker) checkBlocks(fields []device.Field) error {
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
		default:
			known = false
		}
	}
	return nil
}
