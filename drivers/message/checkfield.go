package message

import (
	"errors"
	"fmt"

	"bayhand/model/device"
)

// where is the place of a field that is checked.
type where struct {
	role device.Role
	sent bool
	// inside is true inside an Each, json inside an Object, whole inside what is counted or
	// written in another form once all of it is there.
	inside, json, whole bool
}

func (c checker) checkFields(fields []device.Field, at where) error {
	for i, f := range fields {
		err := c.checkField(f, at)
		if err == nil && guardsOthers(f.Kind) && c.width(fields[i+1:]) < 0 {
			err = errors.New("what follows it has no fixed number of bytes, so its end cannot be told")
		}
		if err != nil {
			return fmt.Errorf("field %d, %s: %w", i+1, f.Kind, err)
		}
	}
	return nil
}

func (c checker) checkField(f device.Field, at where) error {
	switch f.Kind {
	case device.Literal:
		if len(f.Bytes) == 0 {
			return errors.New("it has no bytes")
		}
		return nil
	case device.Number:
		return c.checkNumber(f, at)
	case device.Text:
		if _, parameter := c.words[f.Value]; !parameter && f.Value != "label" && (at.sent || f.Value != "message" && f.Value != "identity") {
			return fmt.Errorf("%q is not text that can stand here", f.Value)
		}
		return nil
	case device.Each:
		return c.checkEach(f, at)
	case device.Block:
		at.whole = true
		return c.checkFields(f.Of, at)
	case device.Channels:
		return checkChannels(f, at)
	case device.Checked, device.Hexed, device.Nibbles, device.Sevens:
		return c.checkGuarded(f, at)
	case device.Either:
		return c.checkEither(f, at)
	case device.Bitmap:
		return c.checkBitmap(f, at)
	case device.Object:
		return c.checkObject(f, at)
	case device.Pause:
		if !at.sent || at.inside || at.json || at.whole {
			return errors.New("a pause stands between the parts of what is sent, and not inside what is sent as one")
		}
		return nil
	case device.Packed:
		return c.checkPacked(f, at)
	case device.FieldUnknown:
	}
	return errors.New("the kind of field is not known")
}

func checkChannels(f device.Field, at where) error {
	switch {
	case at.inside:
		return errors.New("a channel list cannot stand inside each")
	case f.Over == device.Inputs && !at.sent:
		return errors.New("a list of every input of one output is sent only")
	}
	return nil
}

func (c checker) checkNumber(f device.Field, at where) error {
	switch {
	case f.Base == device.BaseUnknown && len(f.Words) == 0 && !at.json:
		return errors.New("it has no base")
	case f.Gang && c.description.Gangs.Of == 0:
		return errors.New("it is counted in gangs, and how many outputs one has is not said")
	case f.Bits.Count > 0 && f.Base.Bits() > 0 && f.Bits.Count > f.Base.Bits():
		return fmt.Errorf("%d bits do not fit a number of %s", f.Bits.Count, f.Base)
	case f.Bits.Count < 0 || f.Bits.Low < 0 || f.Bits.Low+f.Bits.Count > 31:
		return errors.New("its bits are not among the 31 of a number")
	}
	for _, w := range f.Words {
		if len(w.Bytes) == 0 {
			return fmt.Errorf("the word for %d is empty", w.Number)
		}
	}
	return c.checkValue(f, at)
}

func (c checker) checkValue(f device.Field, at where) error {
	if _, number := c.numbers[f.Plus]; f.Plus != "" && !number {
		return fmt.Errorf("%q is added, and is no parameter that is a number", f.Plus)
	}
	switch f.Value {
	case "output", "input", "code", "packet", "preset":
		return nil
	case "closed":
		if at.sent || !at.inside {
			return errors.New("closed stands in the rounds of an answer only")
		}
		return nil
	case "length":
		if c.description.Frame.Kind != device.Counted || f.Base.Bytes() == 0 && f.Width == 0 {
			return errors.New("length is for counted messages, in a fixed number of bytes or digits")
		}
		return nil
	}
	if _, number := c.numbers[f.Value]; !number {
		return fmt.Errorf("%q is neither output, input, code, packet, closed, length nor a parameter that is a number", f.Value)
	}
	return nil
}

func (c checker) checkEach(f device.Field, at where) error {
	switch {
	case at.inside:
		return errors.New("each cannot stand inside each")
	case f.Over == device.OverUnknown:
		return errors.New("it does not say what it runs through: changes, outputs or inputs")
	case f.Over == device.EachGang && c.description.Gangs.Of == 0:
		return errors.New("how many outputs a gang has is not said")
	case at.sent && f.Over != device.Changes:
		return errors.New("a message that is sent runs through changes only; all outputs at once would move those that nobody asked to move")
	case f.Over == device.Inputs && at.role != device.ReadRow && at.role != device.Read:
		return errors.New("every input is answered to read-row and read only")
	case len(f.Of) == 0:
		return errors.New("it repeats nothing")
	}
	at.inside = true
	return c.checkFields(f.Of, at)
}

func (c checker) checkGuarded(f device.Field, at where) error {
	k := f.Check
	switch {
	case at.inside:
		return errors.New("it cannot stand inside each")
	case len(f.Of) == 0:
		return errors.New("there is nothing in it")
	case f.Kind != device.Checked:
	case k.Kind == device.CheckUnknown || k.Form == device.FormUnknown:
		return errors.New("it does not say how it is computed and written")
	case k.Kind == device.CyclicRedundancy && (k.CRC.Width < 8 || k.CRC.Width > 32 || k.CRC.Width%8 != 0):
		return fmt.Errorf("a CRC of %d bits; it has 8, 16, 24 or 32", k.CRC.Width)
	}
	at.whole = at.whole || f.Kind != device.Checked
	return c.checkFields(f.Of, at)
}

func (c checker) checkPacked(f device.Field, at where) error {
	sum := 0
	for _, part := range f.Of {
		sum += part.Bits.Count
		if part.Kind == device.Literal && len(part.Bytes) > 0 && part.Bits.Count > 0 {
			continue
		}
		if part.Kind != device.Number || part.Bits.Count < 1 || len(part.Words) > 0 {
			return errors.New("it holds numbers and bytes that say how many bits they take")
		}
		if err := c.checkValue(part, at); err != nil {
			return err
		}
	}
	if f.Base.Bits() == 0 || sum != f.Base.Bits() {
		return fmt.Errorf("its parts take %d bits, and a number of %s has %d", sum, f.Base, f.Base.Bits())
	}
	return nil
}
