package answer

import (
	"fmt"
	"strconv"

	"bayhand/model/device"
)

// maxWidth is the most digits of a number without a width.
const maxWidth = 9

// allCall is the device ID that every device obeys in a universal system
// exclusive message, at this place of it (MIDI 1.0).
const (
	allCall   = 0x7F
	allCallAt = 2
)

// number fits a number field: a parameter must have its own value, everything
// else is bound.
func (m *matcher) number(f device.Field, at int, next then) bool {
	for _, read := range m.readings(f, at) {
		if own, ok := m.settings.number(f.Value); ok {
			if (read.value == own || m.isAllCall(at)) && next(read.end) {
				return true
			}
			continue
		}
		kept := len(m.list)
		m.list = append(m.list, bound{value: f.Value, number: read.value})
		if next(read.end) {
			return true
		}
		m.list = m.list[:kept]
	}
	return false
}

func (m *matcher) isAllCall(at int) bool {
	universal := len(m.message) > allCallAt && m.message[0] == exclusive && (m.message[1] == 0x7E || m.message[1] == 0x7F)
	return universal && at == allCallAt && m.message[at] == allCall
}

// reading is a number that may stand at a place, and where it ends.
type reading struct{ value, end int }

// readings are the numbers that may stand here, the longest first.
func (m *matcher) readings(f device.Field, at int) []reading {
	have := m.message[at:]
	switch f.Base {
	case device.SevenBit, device.EightBit:
		if len(have) == 0 {
			m.short = true
			return nil
		}
		if f.Base == device.SevenBit && have[0] >= firstStatus {
			return nil
		}
		return []reading{{int(have[0]) - f.Add, at + 1}}
	case device.Decimal:
		return m.digits(f, at, 10)
	case device.Hexadecimal:
		return m.digits(f, at, 16)
	case device.BaseUnknown:
	}
	return nil
}

func (m *matcher) digits(f device.Field, at, base int) []reading {
	count := 0
	for count < maxWidth && at+count < len(m.message) && isDigit(m.message[at+count], base) {
		count++
	}
	if at+count == len(m.message) && count < max(f.Width, 1) {
		m.short = true
	}
	least := 1
	if f.Width > 0 {
		if count < f.Width {
			return nil
		}
		least, count = f.Width, f.Width
	}
	var all []reading
	for n := count; n >= least; n-- {
		if value, err := strconv.ParseInt(string(m.message[at:at+n]), base, 64); err == nil {
			all = append(all, reading{int(value) - f.Add, at + n})
		}
	}
	return all
}

func isDigit(b byte, base int) bool {
	if b >= '0' && b <= '9' {
		return true
	}
	return base == 16 && b|0x20 >= 'a' && b|0x20 <= 'f'
}

// writeNumber appends a number as the field writes it. It fails where the
// number does not fit the field.
func writeNumber(to []byte, f device.Field, value int) ([]byte, error) {
	wire := value + f.Add
	switch f.Base {
	case device.SevenBit, device.EightBit:
		highest := 0x7F
		if f.Base == device.EightBit {
			highest = 0xFF
		}
		if wire < 0 || wire > highest {
			return nil, fmt.Errorf("%s %d is %d on the wire, and a %s byte holds 0 to %d", f.Value, value, wire, f.Base, highest)
		}
		return append(to, byte(wire)), nil
	case device.Decimal:
		return padded(to, f, value, fmt.Sprintf("%0*d", f.Width, wire))
	case device.Hexadecimal:
		return padded(to, f, value, fmt.Sprintf("%0*X", f.Width, wire))
	case device.BaseUnknown:
	}
	return nil, fmt.Errorf("the number %s has no base", f.Value)
}

func padded(to []byte, f device.Field, value int, digits string) ([]byte, error) {
	if f.Width > 0 && len(digits) > f.Width {
		return nil, fmt.Errorf("%s %d is %s on the wire, which is wider than %d digits", f.Value, value, digits, f.Width)
	}
	return append(to, digits...), nil
}
