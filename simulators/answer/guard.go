package answer

import (
	"bytes"
	"encoding/hex"
	"fmt"

	"bayhand/model/device"
)

// checked fits fields and the checksum that follows them.
func (m *matcher) checked(f device.Field, at int, next then) bool {
	return m.fields(f.Of, at, func(end int) bool {
		return m.literal(guard(f.Check, m.message[at:end]), end, next)
	})
}

// hexed fits fields on the bytes that pairs of hexadecimal digits stand for.
func (m *matcher) hexed(f device.Field, at int, next then) bool {
	end := at
	for end+2 <= len(m.message) && isDigit(m.message[end], 16) && isDigit(m.message[end+1], 16) {
		end += 2
	}
	for ; end > at; end -= 2 {
		data, err := hex.DecodeString(string(m.message[at:end]))
		if err != nil {
			return false
		}
		inner := *m
		inner.message = data
		fits := inner.fields(f.Of, 0, func(at int) bool { return at == len(data) })
		m.steps = inner.steps
		if !fits {
			continue
		}
		kept := len(m.list)
		m.list = inner.list
		if next(end) {
			return true
		}
		m.list = m.list[:kept]
	}
	return false
}

// guard is the checksum over some bytes as it stands in a message.
func guard(c device.Check, data []byte) []byte {
	sum, size := uint64(0), 1
	for _, b := range data {
		if c.Kind == device.XOR {
			sum ^= uint64(b)
		} else {
			sum += uint64(b)
		}
	}
	switch c.Kind {
	case device.NegatedSum:
		sum = 0x100 - sum%0x100
	case device.InvertedSum:
		sum = 0xFF - sum%0x100
	case device.CyclicRedundancy:
		sum, size = remainder(c.CRC, data), c.CRC.Width/8
	case device.XOR, device.Sum, device.CheckUnknown:
	}
	return formed(c.Form, sum, size)
}

func formed(form device.CheckForm, sum uint64, size int) []byte {
	switch form {
	case device.SevenBits:
		return []byte{byte(sum % 0x80)}
	case device.HexDigits:
		return fmt.Appendf(nil, "%0*X", 2*size, sum%(1<<(8*size)))
	case device.HighFirst, device.LowFirst, device.FormUnknown:
	}
	var out []byte
	for range size {
		if form == device.LowFirst {
			out = append(out, byte(sum))
		} else {
			out = append([]byte{byte(sum)}, out...)
		}
		sum >>= 8
	}
	return out
}

// remainder is a CRC by the long division that it is: the bits of the message,
// and after them as many zeros as the CRC is wide, divided by the polynomial
// without carries. What the register holds at the start lies over the first
// bits.
func remainder(p device.CRC, data []byte) uint64 {
	var dividend []bool
	for _, b := range data {
		dividend = append(dividend, bitsOf(uint64(b), 8, p.ReflectIn)...)
	}
	dividend = append(dividend, make([]bool, p.Width)...)
	for i, bit := range bitsOf(uint64(p.Init), p.Width, false) {
		dividend[i] = dividend[i] != bit
	}
	divisor := append([]bool{true}, bitsOf(uint64(p.Poly), p.Width, false)...)
	for at := range 8 * len(data) {
		if !dividend[at] {
			continue
		}
		for i, bit := range divisor {
			dividend[at+i] = dividend[at+i] != bit
		}
	}
	rest := uint64(0)
	for i := range p.Width {
		place := p.Width - 1 - i
		if p.ReflectOut {
			place = i
		}
		if dividend[8*len(data)+i] {
			rest |= 1 << place
		}
	}
	return rest ^ uint64(p.XOROut)
}

// bitsOf are the lowest bits of a number, the highest of them first, or the
// lowest.
func bitsOf(number uint64, count int, lowFirst bool) []bool {
	list := make([]bool, count)
	for i := range list {
		place := count - 1 - i
		if lowFirst {
			place = i
		}
		list[i] = number>>place&1 == 1
	}
	return list
}

// counted cuts a stream into messages that begin with the same bytes and say
// how long they are.
type counted struct {
	frame   device.Frame
	message []byte
}

// add takes one byte and gives a message that it ends. What cannot be the start
// of a message is dropped byte by byte.
func (c *counted) add(b byte) (message []byte) {
	c.message = append(c.message, b)
	for len(c.message) > 0 && !c.possible() {
		c.message = c.message[1:]
	}
	if length, said := c.length(); said && length == len(c.message) {
		message = append([]byte(nil), c.message...)
		c.clear()
	}
	return message
}

// possible says whether what is there may be the beginning of a message.
func (c *counted) possible() bool {
	start := c.frame.Start[:min(len(c.frame.Start), len(c.message))]
	if !bytes.HasPrefix(c.message, start) {
		return false
	}
	length, said := c.length()
	return !said || length >= len(c.message) && length <= MaxMessage
}

// length is that of the whole message, once it was said.
func (c *counted) length() (length int, said bool) {
	m, stands := &matcher{message: c.message}, c.frame.Length
	if len(c.message) < stands.At+stands.Width {
		return 0, false
	}
	for _, read := range m.readings(device.Field{Base: stands.Base, Width: stands.Width}, stands.At) {
		return read.wire + stands.Add, true
	}
	return 0, stands.Width > 0 // what is no number is no length
}

func (c *counted) clear() { c.message = nil }
