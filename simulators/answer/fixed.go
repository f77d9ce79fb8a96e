package answer

import "bayhand/model/device"

// shape is how a number of a fixed number of bytes lies in them.
type shape struct {
	bytes int
	// step is what the higher byte counts, and the first that no byte reaches.
	step int
	// lowFirst is true where the lower byte stands first.
	lowFirst bool
}

func shapeOf(b device.Base) shape {
	switch b {
	case device.SevenBit:
		return shape{bytes: 1, step: 128}
	case device.FourteenBit:
		return shape{bytes: 2, step: 128}
	case device.FourteenBitLow:
		return shape{bytes: 2, step: 128, lowFirst: true}
	case device.SixteenBit:
		return shape{bytes: 2, step: 256}
	case device.SixteenBitLow:
		return shape{bytes: 2, step: 256, lowFirst: true}
	case device.EightBit, device.Decimal, device.Hexadecimal, device.BaseUnknown:
	}
	return shape{bytes: 1, step: 256}
}

func highest(b device.Base) int {
	s := shapeOf(b)
	if s.bytes == 2 {
		return s.step*s.step - 1
	}
	return s.step - 1
}

// fix appends a number; false for one that does not fit.
func fix(to []byte, b device.Base, number int) ([]byte, bool) {
	s := shapeOf(b)
	if number < 0 || number > highest(b) {
		return nil, false
	}
	high, low := byte(number/s.step), byte(number%s.step)
	switch {
	case s.bytes == 1:
		return append(to, low), true
	case s.lowFirst:
		return append(to, low, high), true
	}
	return append(to, high, low), true
}

// fixed is the number that stands here, if one can.
func (m *matcher) fixed(b device.Base, at int) []reading {
	s := shapeOf(b)
	have := m.message[at:]
	if len(have) < s.bytes {
		m.short = true
		return nil
	}
	number := 0
	for i := range s.bytes {
		digit := int(have[i])
		if digit >= s.step {
			return nil
		}
		if s.lowFirst && i == 1 {
			number += digit * s.step
		} else {
			number = number*s.step + digit
		}
	}
	return []reading{{number, at + s.bytes}}
}

// packed takes one number apart into the fields that share it.
func (m *matcher) packed(f device.Field, at int, next then) bool {
	kept := len(m.list)
	for _, read := range m.fixed(f.Base, at) {
		left, fits := highest(f.Base)+1, true
		for _, part := range f.Of {
			left >>= part.Bits.Count
			value := read.wire / left % (1 << part.Bits.Count)
			if part.Kind == device.Literal {
				fits = fits && value == int(part.Bytes[0])
				continue
			}
			part.Bits = device.Bits{}
			fits = fits && m.bind(part, value, false)
		}
		if fits && next(read.end) {
			return true
		}
		m.list = m.list[:kept]
	}
	return false
}
