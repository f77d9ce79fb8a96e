package text

import (
	"slices"
	"strconv"

	"bayhand/model/device"
)

// checked reads fields with their checksum.
func (m *messageReader) checked(v values) device.Field {
	f := device.Field{Kind: device.Checked, Of: m.fieldList(v.of["of"])}
	f.Check.Kind, f.Check.Form = m.checkKind(v), device.HighFirst
	if v.has("as") {
		f.Check.Form = device.CheckFormNamed(v.word("as"))
	}
	switch {
	case m.inside:
		m.fault(v.node, "field", "", "a checksum cannot stand inside each")
	case v.node.field("of") == nil:
		m.fault(v.node, "missing", "write of: [the fields]", "check needs the key of: the fields that the checksum is over")
	}
	if f.Check.Kind == device.CyclicRedundancy {
		f.Check.CRC = m.crc(v)
		return f
	}
	for _, key := range []string{"width", "poly", "init", "reflect-in", "reflect-out", "xor-out"} {
		if v.has(key) {
			m.fault(v.of[key], "field", "take it out", "%s belongs to a crc", key)
		}
	}
	return f
}

// checkKind reads the way to compute a checksum. LRC is refused, since the word
// is used for two of them.
func (m *messageReader) checkKind(v values) device.CheckKind {
	if n := v.of["check"]; n.text == "lrc" {
		m.fault(n, "word", "write xor for the one of ISO 1155, negated-sum for the one of Modbus ASCII", "lrc is the name of two checksums")
		return device.CheckUnknown
	}
	return device.CheckKindNamed(v.word("check"))
}

// crc reads the parameters that catalogues of CRCs give.
func (m *messageReader) crc(v values) device.CRC {
	c := device.CRC{Width: v.number("width", 0), ReflectIn: v.flag("reflect-in", false), ReflectOut: v.flag("reflect-out", false)}
	switch {
	case v.node.field("width") == nil || v.node.field("poly") == nil:
		m.fault(v.node, "missing", `write width: 16 and poly: "1021"`, "a crc needs the keys width and poly")
		return c
	case v.has("width") && (c.Width < 8 || c.Width%8 != 0):
		m.fault(v.of["width"], "number", "", "a crc has a width of 8, 16, 24 or 32 bits, not %d", c.Width)
		return c
	}
	c.Poly, c.Init, c.XOROut = m.register(v, "poly", c.Width), m.register(v, "init", c.Width), m.register(v, "xor-out", c.Width)
	if v.has("poly") && c.Poly == 0 {
		m.fault(v.of["poly"], "number", "", "a polynomial of 0 checks nothing")
	}
	return c
}

// register reads what a register of so many bits holds.
func (m *messageReader) register(v values, key string, width int) uint32 {
	if !v.has(key) {
		return 0
	}
	n, err := strconv.ParseUint(v.text(key), 16, 32)
	if err != nil || n >= 1<<width {
		m.fault(v.of[key], "number", "", "%s is no number of %d bits in hexadecimal digits", quoteText(v.text(key)), width)
	}
	return uint32(n)
}

// packed reads numbers and bytes that share the bits of one number.
func (m *messageReader) packed(v values) device.Field {
	inner := *m
	inner.packing = true
	f := device.Field{Kind: device.Packed, Of: inner.fieldList(v.of["packed"]), Base: device.BaseNamed(v.word("base"))}
	if v.node.field("base") == nil {
		m.fault(v.node, "missing", "write base: 8-bit", "packed needs the key base")
		return f
	}
	sum := 0
	for _, part := range f.Of {
		if part.Kind != device.Number && part.Kind != device.Literal {
			m.fault(v.of["packed"], "field", "", "packed holds numbers and bytes only, not %s", part.Kind)
			return f
		}
		sum += part.Bits.Count
	}
	if v.has("base") && len(f.Of) == len(v.of["packed"].all()) && sum != f.Base.Bits() {
		m.fault(v.of["base"], "field", "", "its parts take %d bits, and a number of %s has %d", sum, f.Base, f.Base.Bits())
	}
	return f
}

// legalNumbers are the numbers that every description has.
func (m *messageReader) legalNumbers() []string {
	legal := []string{"output", "input", "code", "packet"}
	if m.inside && !m.sent && m.role == device.ReadRow {
		legal = append(legal, "closed")
	}
	if m.file.device.Frame.Kind == device.Counted {
		legal = append(legal, "length")
	}
	if m.role == device.RecallPreset {
		legal = append(legal, "preset")
	}
	return slices.Clip(legal)
}
