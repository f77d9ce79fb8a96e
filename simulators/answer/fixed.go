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
	seven := func(bytes int, lowFirst bool) shape { return shape{bytes: bytes, step: 128, lowFirst: lowFirst} }
	eight := func(bytes int, lowFirst bool) shape { return shape{bytes: bytes, step: 256, lowFirst: lowFirst} }
	switch b {
	case device.SevenBit:
		return seven(1, false)
	case device.FourteenBit, device.FourteenBitLow:
		return seven(2, b == device.FourteenBitLow)
	case device.TwentyOneBit, device.TwentyOneBitLow:
		return seven(3, b == device.TwentyOneBitLow)
	case device.TwentyEightBit, device.TwentyEightBitLow:
		return seven(4, b == device.TwentyEightBitLow)
	case device.SixteenBit, device.SixteenBitLow:
		return eight(2, b == device.SixteenBitLow)
	case device.TwentyFourBit, device.TwentyFourBitLow:
		return eight(3, b == device.TwentyFourBitLow)
	case device.ThirtyTwoBit, device.ThirtyTwoBitLow:
		return eight(4, b == device.ThirtyTwoBitLow)
	case device.EightBit, device.Decimal, device.Hexadecimal, device.BaseUnknown:
	}
	return eight(1, false)
}

func highest(b device.Base) int {
	s, most := shapeOf(b), 1
	for range s.bytes {
		most *= s.step
	}
	return most - 1
}

// inDigits says whether a number of the base is written in characters.
func inDigits(b device.Base) bool {
	return b == device.Decimal || b == device.Hexadecimal || b == device.BaseUnknown
}

// fix appends a number; false for one that does not fit.
func fix(to []byte, b device.Base, number int) ([]byte, bool) {
	if number < 0 || number > highest(b) {
		return nil, false
	}
	s := shapeOf(b)
	for i := range s.bytes {
		weight := 1
		for range s.bytes - 1 - i {
			weight *= s.step
		}
		if s.lowFirst {
			weight = 1
			for range i {
				weight *= s.step
			}
		}
		to = append(to, byte(number/weight%s.step))
	}
	return to, true
}

// fixed is the number that stands here, if one can.
func (m *matcher) fixed(b device.Base, at int) []reading {
	s := shapeOf(b)
	have := m.message[at:]
	if len(have) < s.bytes {
		m.short = true
		return nil
	}
	number, weight := 0, 1
	for i := range s.bytes {
		digit := int(have[i])
		if digit >= s.step {
			return nil
		}
		if s.lowFirst {
			number += digit * weight
			weight *= s.step
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
