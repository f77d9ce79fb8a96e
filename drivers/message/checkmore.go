package message

import (
	"errors"
	"fmt"
	"slices"

	"bayhand/model/device"
)

// guardsOthers says whether a field takes all up to where what follows it begins.
func guardsOthers(kind device.FieldKind) bool {
	switch kind {
	case device.Checked, device.Hexed, device.Nibbles, device.Sevens:
		return true
	default:
		return false
	}
}

func (c checker) checkEither(f device.Field, at where) error {
	if len(f.Choices) < 2 {
		return errors.New("it has two lists of fields or more")
	}
	for _, choice := range f.Choices {
		if err := c.checkFields(choice, at); err != nil {
			return err
		}
	}
	return nil
}

func (c checker) checkBitmap(f device.Field, at where) error {
	unit := unitBits(f)
	switch {
	case f.Base != device.Decimal && unit != 4 && unit != 7 && unit != 8:
		return errors.New("it is written in decimal or hexadecimal digits, or in bytes of 7 or 8 bits")
	case unit == 0 && c.bitmapBits(f) > 29:
		return fmt.Errorf("a decimal number has no room for %d bits", c.bitmapBits(f))
	case unit > 0 && unit*c.bitmapLength(f) < c.bitmapBits(f):
		return fmt.Errorf("its %d digits or bytes have no room for %d bits", f.Width, c.bitmapBits(f))
	case at.sent && f.Over != device.Inputs:
		return errors.New("what is sent has the inputs of one output")
	}
	return nil
}

func (c checker) checkObject(f device.Field, at where) error {
	at.json = true
	for _, member := range f.Of {
		if member.Kind == device.Each && len(member.Of) != 1 {
			return errors.New("an array has one field for each of its items")
		}
		if member.Kind == device.Literal {
			continue
		}
		if err := c.checkField(member, at); err != nil {
			return fmt.Errorf("%s: %w", member.Key, err)
		}
	}
	return nil
}

// Repeats says whether one message of the fields speaks of many crosspoints.
func Repeats(fields []device.Field) bool {
	return slices.ContainsFunc(fields, func(f device.Field) bool {
		return f.Kind == device.Each || f.Kind == device.Channels || f.Kind == device.Bitmap || Repeats(f.Of)
	})
}
