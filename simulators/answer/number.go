package answer

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
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
	if end, off := m.off(f, at); off {
		m.list = append(m.list, bound{value: inputValue})
		if next(end) {
			return true
		}
		m.list = m.list[:len(m.list)-1]
	}
	for _, read := range m.readings(f, at) {
		kept := len(m.list)
		if m.bind(f, read.wire, m.isAllCall(at)) && next(read.end) {
			return true
		}
		m.list = m.list[:kept]
	}
	return false
}

// bind takes a number as it stood on the wire, and says whether it may stand
// there.
func (m *matcher) bind(f device.Field, wire int, anyone bool) bool {
	added := m.settings.added(f)
	if own, ok := m.settings.number(f.Value); ok {
		return anyone || wire == cut(f.Bits, own+added)
	}
	b := bound{value: f.Value, number: m.first(f, wire-added)}
	if f.Bits.Count > 0 {
		b = bound{value: f.Value, number: wire << f.Bits.Low, piece: true, added: added}
	}
	if f.Value == lengthValue {
		return wire == len(m.message)-m.frame.Length.Add
	}
	m.list = append(m.list, b)
	return true
}

// first is the first output, or input, of a gang that a field counts; the number itself
// where it counts none.
func (m *matcher) first(f device.Field, number int) int {
	if !f.Gang || number == 0 {
		return number
	}
	return number*m.gang - m.gang + 1
}

// cut takes some bits out of a number; all of it where none are named.
func cut(b device.Bits, number int) int {
	if b.Count == 0 {
		return number
	}
	return number / (1 << b.Low) % (1 << b.Count)
}

func (m *matcher) isAllCall(at int) bool {
	universal := len(m.message) > allCallAt && m.message[0] == exclusive && (m.message[1] == 0x7E || m.message[1] == 0x7F)
	return universal && at == allCallAt && m.message[at] == allCall
}

// reading is a number that may stand at a place, and where it ends.
type reading struct{ wire, end int }

// readings are the numbers that may stand here, the longest first.
func (m *matcher) readings(f device.Field, at int) []reading {
	if f.Pad != 0 || f.Left {
		return m.column(f, at)
	}
	if len(f.Words) > 0 {
		return m.words(f, at)
	}
	if !inDigits(f.Base) {
		return m.fixed(f.Base, at)
	}
	switch f.Base {
	case device.Decimal:
		return m.digits(f, at, 10)
	case device.Hexadecimal:
		return m.digits(f, at, 16)
	default:
		return nil
	}
}

// off is what stands for no input, if it stands here, and where it ends.
func (m *matcher) off(f device.Field, at int) (end int, stands bool) {
	want := f.Off
	if len(want) == 0 || f.Value != inputValue {
		return 0, false
	}
	if inDigits(f.Base) {
		want = fill(f, want, ' ')
	}
	return at + len(want), bytes.HasPrefix(m.message[at:], want)
}

// fill is characters filled up to the width of a field.
func fill(f device.Field, text []byte, usual byte) []byte {
	with := usual
	if f.Pad != 0 {
		with = f.Pad
	}
	for len(text) < f.Width {
		if f.Left {
			text = append(text[:len(text):len(text)], with)
		} else {
			text = append([]byte{with}, text...)
		}
	}
	return text
}

// column is the number in a column of a fixed width.
func (m *matcher) column(f device.Field, at int) []reading {
	end := at + f.Width
	if end > len(m.message) {
		m.short = true
		return nil
	}
	inner := &matcher{settings: m.settings, outputs: m.outputs, inputs: m.inputs, message: bytes.Trim(m.message[at:end], string([]byte{f.Pad, ' '}))}
	f.Pad, f.Left, f.Width = 0, false, 0
	for _, r := range inner.readings(f, 0) {
		if r.end == len(inner.message) {
			return []reading{{r.wire, end}}
		}
	}
	return nil
}

// words are those of a lookup table that may stand here.
func (m *matcher) words(f device.Field, at int) []reading {
	var all []reading
	for _, w := range f.Words {
		have := m.message[at:]
		m.short = m.short || len(have) < len(w.Bytes) && bytes.HasPrefix(w.Bytes, have)
		if bytes.HasPrefix(have, w.Bytes) {
			all = append(all, reading{w.Number, at + len(w.Bytes)})
		}
	}
	slices.SortFunc(all, func(a, b reading) int { return cmp.Compare(b.end, a.end) })
	return all
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
			all = append(all, reading{int(value), at + n})
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

// writeNumber appends a number as the field writes it, with what the settings
// add to it. It fails where the number does not fit the field.
func (s settings) writeNumber(to []byte, f device.Field, value int) ([]byte, error) {
	if f.Value == inputValue && value == 0 && len(f.Off) > 0 {
		if inDigits(f.Base) {
			return append(to, fill(f, f.Off, ' ')...), nil
		}
		return append(to, f.Off...), nil
	}
	if len(f.Words) > 0 {
		i := slices.IndexFunc(f.Words, func(w device.Word) bool { return w.Number == value })
		if i < 0 {
			return nil, fmt.Errorf("%s %d has no word", f.Value, value)
		}
		return append(to, fill(f, f.Words[i].Bytes, ' ')...), nil
	}
	wire := value + s.added(f)
	if wire >= 0 {
		wire = cut(f.Bits, wire)
	}
	if !inDigits(f.Base) {
		written, ok := fix(to, f.Base, wire)
		if !ok {
			return nil, fmt.Errorf("%s %d is %d on the wire, and a number of %s holds 0 to %d", f.Value, value, wire, f.Base, highest(f.Base))
		}
		return written, nil
	}
	switch f.Base {
	case device.Decimal:
		return padded(to, f, value, strconv.Itoa(wire))
	case device.Hexadecimal:
		return padded(to, f, value, fmt.Sprintf("%X", wire))
	default:
		return nil, fmt.Errorf("the number %s has no base", f.Value)
	}
}

// splitText stands for the input of a gang that is split, where text can stand.
const splitText = "*"

// writeSplit is what stands in the place of an input of a gang that is split: text, or
// the highest number that the field holds.
func (s settings) writeSplit(to []byte, f device.Field) []byte {
	if inDigits(f.Base) {
		return append(to, fill(f, []byte(splitText), ' ')...)
	}
	written, _ := fix(to, f.Base, highest(f.Base))
	return written
}

func padded(to []byte, f device.Field, value int, digits string) ([]byte, error) {
	if f.Width > 0 && len(digits) > f.Width {
		return nil, fmt.Errorf("%s %d is %s on the wire, which is wider than %d digits", f.Value, value, digits, f.Width)
	}
	return append(to, fill(f, []byte(digits), '0')...), nil
}
