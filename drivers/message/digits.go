package message

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"strconv"

	"bayhand/model/device"
)

// digits writes a number in its base and width.
func digits(f device.Field, n int) ([]byte, error) {
	if count := f.Base.Bits(); count > 0 {
		if n < 0 || n >= 1<<count {
			return nil, fmt.Errorf("%d does not fit %d bits, which hold 0 to %d", n, count, 1<<count-1)
		}
		return binary(f.Base, n), nil
	}
	if n < 0 {
		return nil, fmt.Errorf("%d is below 0", n)
	}
	text := strconv.Itoa(n)
	if f.Base == device.Hexadecimal {
		text = fmt.Sprintf("%X", n)
	}
	if f.Width > 0 && len(text) > f.Width {
		return nil, fmt.Errorf("%s has more than %d digits", text, f.Width)
	}
	return append(bytes.Repeat([]byte("0"), max(0, f.Width-len(text))), text...), nil
}

// binary writes a number that fits its base.
func binary(base device.Base, n int) []byte {
	switch base {
	case device.FourteenBit:
		return []byte{byte(n >> 7), byte(n & 0x7F)}
	case device.FourteenBitLow:
		return []byte{byte(n & 0x7F), byte(n >> 7)}
	case device.SixteenBit:
		return []byte{byte(n >> 8), byte(n)}
	case device.SixteenBitLow:
		return []byte{byte(n), byte(n >> 8)}
	case device.SevenBit, device.EightBit, device.Decimal, device.Hexadecimal, device.BaseUnknown:
	}
	return []byte{byte(n)}
}

// fromBinary reads as many bytes as the base takes; false for a byte that
// cannot stand there.
func fromBinary(base device.Base, p []byte) (n int, ok bool) {
	switch base {
	case device.SevenBit:
		return int(p[0]), p[0] <= 0x7F
	case device.FourteenBit:
		return int(p[0])<<7 | int(p[1]), p[0]|p[1] <= 0x7F
	case device.FourteenBitLow:
		return int(p[1])<<7 | int(p[0]), p[0]|p[1] <= 0x7F
	case device.SixteenBit:
		return int(p[0])<<8 | int(p[1]), true
	case device.SixteenBitLow:
		return int(p[1])<<8 | int(p[0]), true
	case device.EightBit, device.Decimal, device.Hexadecimal, device.BaseUnknown:
	}
	return int(p[0]), true
}

// toHex writes each byte as two hexadecimal digits, in capitals.
func toHex(p []byte) []byte { return bytes.ToUpper(hex.AppendEncode(nil, p)) }

// word is what stands for a number in a lookup table.
func word(f device.Field, n int) ([]byte, error) {
	for _, w := range f.Words {
		if w.Number == n {
			return w.Bytes, nil
		}
	}
	return nil, fmt.Errorf("its table has no word for %d", n)
}

// offset is what is added to a number on its way out.
func (c *Codec) offset(f device.Field) int { return f.Add + c.numbers[f.Plus] }

// piece is what of a number stands on the wire: all of it with what is added to
// it, or some of its bits.
func (c *Codec) piece(f device.Field, n int) (int, error) {
	n += c.offset(f)
	if f.Bits.Count == 0 {
		return n, nil
	}
	if n < 0 {
		return 0, fmt.Errorf("%d is below 0", n)
	}
	return n >> f.Bits.Low & (1<<f.Bits.Count - 1), nil
}
