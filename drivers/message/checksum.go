package message

import (
	"math/bits"

	"bayhand/model/device"
)

// checksum is that of the data, as it stands in a message.
func checksum(c device.Check, data []byte) []byte {
	sum, size := uint32(0), 1
	switch c.Kind {
	case device.XOR:
		for _, b := range data {
			sum ^= uint32(b)
		}
	case device.Sum:
		sum = total(data)
	case device.NegatedSum:
		sum = -total(data)
	case device.InvertedSum:
		sum = ^total(data)
	case device.CyclicRedundancy:
		sum, size = crc(c.CRC, data), c.CRC.Width/8
	case device.CheckUnknown:
	}
	return inForm(c.Form, sum, size)
}

func total(data []byte) uint32 {
	sum := uint32(0)
	for _, b := range data {
		sum += uint32(b)
	}
	return sum
}

// crc runs the register of a CRC bit by bit, as the catalogue of CRCs describes
// its parameters.
func crc(p device.CRC, data []byte) uint32 {
	top := uint32(1) << (p.Width - 1)
	register := p.Init
	for _, b := range data {
		if p.ReflectIn {
			b = bits.Reverse8(b)
		}
		register ^= uint32(b) << (p.Width - 8)
		for range 8 {
			if register&top != 0 {
				register = register<<1 ^ p.Poly
			} else {
				register <<= 1
			}
		}
	}
	register &= top<<1 - 1
	if p.ReflectOut {
		register = bits.Reverse32(register) >> (32 - p.Width)
	}
	return register ^ p.XOROut
}

// inForm writes the lowest bytes of a checksum.
func inForm(form device.CheckForm, sum uint32, size int) []byte {
	if form == device.SevenBits {
		return []byte{byte(sum & 0x7F)}
	}
	out := make([]byte, size)
	for i := range out {
		at := size - 1 - i
		if form == device.LowFirst {
			at = i
		}
		out[at] = byte(sum >> (8 * i))
	}
	if form == device.HexDigits {
		return toHex(out)
	}
	return out
}
