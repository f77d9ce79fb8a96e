package text

import "bayhand/model/device"

// checkSeparable checks that an answer can be taken apart again: text ends where a
// literal begins, and digits of one number do not run into those of the next.
func (m *messageReader) checkSeparable(n *node, fields []device.Field) {
	if m.sent || m.json {
		return
	}
	for i, f := range fields {
		last := i == len(fields)-1
		switch {
		case f.Kind == device.Text && f.Width == 0 && !last && fields[i+1].Kind != device.Literal && !m.isWord(f.Value):
			m.fault(n.items[i], "field", "put text between them", "nothing says where this text ends; a literal must follow it")
		case openDigits(f) && !last && beginsWithDigits(fields[i+1]):
			m.fault(n.items[i], "field", "give it a width, or put text between them", "the digits of this number run into those of the next")
		case f.Kind == device.Each && len(f.Separator) == 0 && len(f.Of) > 0 && openDigits(f.Of[len(f.Of)-1]) && beginsWithDigits(f.Of[0]):
			m.fault(n.items[i], "field", "give it a separator", "the digits of one round run into those of the next")
		}
	}
}

func (m *messageReader) isWord(text string) bool {
	_, word := m.file.parameterKind(text)
	return word
}

// openDigits says whether the field is a number of as many digits as it takes.
func openDigits(f device.Field) bool {
	return f.Kind == device.Number && f.Width == 0 && len(f.Words) == 0 && (f.Base == device.Decimal || f.Base == device.Hexadecimal)
}

func beginsWithDigits(f device.Field) bool {
	switch f.Kind {
	case device.Number:
		return f.Base == device.Decimal || f.Base == device.Hexadecimal
	case device.Each:
		return len(f.Of) > 0 && beginsWithDigits(f.Of[0])
	case device.Literal:
		return len(f.Bytes) > 0 && f.Bytes[0] >= '0' && f.Bytes[0] <= '9'
	case device.Checked:
		return len(f.Of) > 0 && beginsWithDigits(f.Of[0])
	case device.Hexed:
		return true
	case device.Bitmap:
		return f.Base.Bytes() == 0
	case device.Text, device.Block, device.Channels, device.Packed, device.Either, device.Nibbles, device.Sevens, device.Object, device.Pause, device.FieldUnknown:
	}
	return false
}
