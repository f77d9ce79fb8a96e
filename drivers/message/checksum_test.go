package message

import (
	"testing"

	"bayhand/model/device"
)

// The check values of the catalogue of CRC algorithms (reveng.sourceforge.io):
// each is the CRC of the ASCII digits 123456789, under its catalogue name.
var catalogue = []struct {
	name  string
	crc   device.CRC
	check string
}{
	{"CRC-8/SMBUS", device.CRC{Width: 8, Poly: 0x07}, "F4"},
	{"CRC-8/MAXIM-DOW", device.CRC{Width: 8, Poly: 0x31, ReflectIn: true, ReflectOut: true}, "A1"},
	{"CRC-8/ROHC", device.CRC{Width: 8, Poly: 0x07, Init: 0xFF, ReflectIn: true, ReflectOut: true}, "D0"},
	{"CRC-16/GENIBUS", device.CRC{Width: 16, Poly: 0x1021, Init: 0xFFFF, XOROut: 0xFFFF}, "D64E"},
	{"CRC-16/USB", device.CRC{Width: 16, Poly: 0x8005, Init: 0xFFFF, XOROut: 0xFFFF, ReflectIn: true, ReflectOut: true}, "B4C8"},
	{"CRC-16/DNP", device.CRC{Width: 16, Poly: 0x3D65, XOROut: 0xFFFF, ReflectIn: true, ReflectOut: true}, "EA82"},
	{"CRC-32/BZIP2", device.CRC{Width: 32, Poly: 0x04C11DB7, Init: 0xFFFFFFFF, XOROut: 0xFFFFFFFF}, "FC891918"},
	{"CRC-32/MPEG-2", device.CRC{Width: 32, Poly: 0x04C11DB7, Init: 0xFFFFFFFF}, "0376E6E7"},
	{"CRC-16/XMODEM", device.CRC{Width: 16, Poly: 0x1021}, "31C3"},
	{"CRC-16/IBM-3740", device.CRC{Width: 16, Poly: 0x1021, Init: 0xFFFF}, "29B1"},
	{"CRC-16/MODBUS", device.CRC{Width: 16, Poly: 0x8005, Init: 0xFFFF, ReflectIn: true, ReflectOut: true}, "4B37"},
	{"CRC-16/ARC", device.CRC{Width: 16, Poly: 0x8005, ReflectIn: true, ReflectOut: true}, "BB3D"},
	{"CRC-16/KERMIT", device.CRC{Width: 16, Poly: 0x1021, ReflectIn: true, ReflectOut: true}, "2189"},
	{"CRC-16/IBM-SDLC", device.CRC{Width: 16, Poly: 0x1021, Init: 0xFFFF, XOROut: 0xFFFF, ReflectIn: true, ReflectOut: true}, "906E"},
	{"CRC-24/OPENPGP", device.CRC{Width: 24, Poly: 0x864CFB, Init: 0xB704CE}, "21CF02"},
	{"CRC-32/ISO-HDLC", device.CRC{Width: 32, Poly: 0x04C11DB7, Init: 0xFFFFFFFF, XOROut: 0xFFFFFFFF, ReflectIn: true, ReflectOut: true}, "CBF43926"},
}

func TestCatalogue(t *testing.T) {
	for _, c := range catalogue {
		check := device.Check{Kind: device.CyclicRedundancy, Form: device.HexDigits, CRC: c.crc}
		if got := string(checksum(check, []byte("123456789"))); got != c.check {
			t.Errorf("%s of 123456789 is %s, not %s", c.name, got, c.check)
		}
	}
}

// Modbus over Serial Line V1.02, 2.5.1.2: the CRC follows its message with the
// low byte first.
func TestModbusRequests(t *testing.T) {
	check := device.Check{Kind: device.CyclicRedundancy, Form: device.LowFirst, CRC: device.CRC{Width: 16, Poly: 0x8005, Init: 0xFFFF, ReflectIn: true, ReflectOut: true}}
	for request, want := range map[string]string{
		"\x01\x03\x00\x00\x00\x0A": "\xC5\xCD",
		"\x11\x03\x00\x6B\x00\x03": "\x76\x87",
	} {
		if got := string(checksum(check, []byte(request))); got != want {
			t.Errorf("% X is followed by % X, not % X", request, got, want)
		}
	}
}

// Sums of the ASCII digits 123456789, from their definitions: the full sum is
// 1DD. The 7-bit sums make the sum of data and check 0 modulo 128 (common
// practice with MIDI system exclusive, no published source).
func TestSums(t *testing.T) {
	for _, c := range []struct {
		kind device.CheckKind
		form device.CheckForm
		data string
		want string
	}{
		{device.XOR, device.HighFirst, "123456789", "\x31"},
		{device.Sum, device.HighFirst, "123456789", "\xDD"},
		{device.NegatedSum, device.HighFirst, "123456789", "\x23"},
		{device.NegatedSum, device.HexDigits, "123456789", "23"},
		{device.InvertedSum, device.HighFirst, "123456789", "\x22"},
		{device.Sum, device.HexDigits, "123456789", "DD"},
		{device.NegatedSum, device.SevenBits, "123456789", "\x23"},
		{device.NegatedSum, device.SevenBits, "\x40\x00\x7F\x00", "\x41"},
		{device.NegatedSum, device.SevenBits, "\x10\x20\x30\x01", "\x1F"},
		{device.NegatedSum, device.SevenBits, "\x00\x00", "\x00"},
		{device.NegatedSum, device.HighFirst, "\x80\x80", "\x00"},
	} {
		if got := string(checksum(device.Check{Kind: c.kind, Form: c.form}, []byte(c.data))); got != c.want {
			t.Errorf("%v as %v of %q is % X, not % X", c.kind, c.form, c.data, got, c.want)
		}
	}
}
