package message

import (
	"encoding/hex"

	"bayhand/model/device"
)

// recode writes bytes as their field does: as hexadecimal digits, as nibbles, or seven
// of them as eight of seven bits.
func recode(f device.Field, p []byte) []byte {
	switch f.Kind {
	case device.Nibbles:
		var out []byte
		for _, b := range p {
			high, low := b>>4, b&0x0F
			if f.First == device.Low {
				high, low = low, high
			}
			out = append(out, high, low)
		}
		return out
	case device.Sevens:
		return sevens(f, p)
	default:
		return toHex(p)
	}
}

// sevens writes each group of up to seven bytes with their high bits in a byte of
// their own: the highest of those seven bits is that of the first byte (MIDI 1.0
// Detailed Specification, File Dump), unless the order is low.
func sevens(f device.Field, p []byte) []byte {
	var out []byte
	for len(p) > 0 {
		group := p[:min(7, len(p))]
		p = p[len(group):]
		high := byte(0)
		low := make([]byte, len(group))
		for i, b := range group {
			high |= b >> 7 << highBit(f, i)
			low[i] = b & 0x7F
		}
		if f.First == device.Low {
			out = append(append(out, low...), high)
		} else {
			out = append(append(out, high), low...)
		}
	}
	return out
}

func highBit(f device.Field, i int) int {
	if f.Order == device.Low {
		return i
	}
	return 6 - i
}

// uncode is the inverse of recode; false for bytes that it does not write.
func uncode(f device.Field, p []byte) ([]byte, bool) {
	switch f.Kind {
	case device.Nibbles:
		out := make([]byte, 0, len(p)/2)
		for i := 0; i+1 < len(p); i += 2 {
			high, low := p[i], p[i+1]
			if f.First == device.Low {
				high, low = low, high
			}
			if high|low > 0x0F {
				return nil, false
			}
			out = append(out, high<<4|low)
		}
		return out, len(p)%2 == 0
	case device.Sevens:
		return unsevens(f, p)
	default:
		out, err := hex.DecodeString(string(p))
		return out, err == nil
	}
}

func unsevens(f device.Field, p []byte) ([]byte, bool) {
	var out []byte
	for len(p) > 0 {
		group := p[:min(8, len(p))]
		p = p[len(group):]
		high, low := group[0], group[1:]
		if f.First == device.Low {
			high, low = group[len(group)-1], group[:len(group)-1]
		}
		if len(low) == 0 || high > 0x7F {
			return nil, false
		}
		for i, b := range low {
			bit := high >> highBit(f, i) & 1
			if b > 0x7F {
				return nil, false
			}
			out = append(out, b|bit<<7)
		}
	}
	return out, true
}

// recodedLength is how many bytes so many take in their field.
func recodedLength(f device.Field, n int) int {
	switch f.Kind {
	case device.Checked:
		return n + f.Check.Bytes()
	case device.Sevens:
		return n + (n+6)/7
	default:
		return 2 * n
	}
}
