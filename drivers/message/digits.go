package message

import (
	"bytes"
	"cmp"
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
	return filled(f, []byte(text), '0'), nil
}

// filled is some characters filled up to the width of their field.
func filled(f device.Field, text []byte, usual byte) []byte {
	rest := bytes.Repeat([]byte{cmp.Or(f.Pad, usual)}, max(0, f.Width-len(text)))
	if f.Left {
		return append(bytes.Clone(text), rest...)
	}
	return append(rest, text...)
}

// binary writes a number that fits its base.
func binary(base device.Base, n int) []byte {
	out := make([]byte, base.Bytes())
	for i := range out {
		at := len(out) - 1 - i
		if base.LowFirst() {
			at = i
		}
		out[at] = byte(n & (1<<base.BitsPerByte() - 1))
		n >>= base.BitsPerByte()
	}
	return out
}

// fromBinary reads as many bytes as the base takes; false for a byte that
// cannot stand there.
func fromBinary(base device.Base, p []byte) (n int, ok bool) {
	size, bits := base.Bytes(), base.BitsPerByte()
	for i := range size {
		at := i
		if base.LowFirst() {
			at = size - 1 - i
		}
		if int(p[at]) >= 1<<bits {
			return 0, false
		}
		n = n<<bits | int(p[at])
	}
	return n, true
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
