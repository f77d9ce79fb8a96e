package text

import (
	"strconv"
	"strings"

	"bayhand/model/device"
	"bayhand/model/phrase"
)

// mostBits is how many bits a number has at most.
const mostBits = 31

// numberBase checks that a number says once how it is written.
func (m *messageReader) numberBase(f device.Field, v values) {
	based := v.node.field("base") != nil
	switch {
	case m.packing && (based || len(f.Words) > 0):
		m.fault(v.node, "field", "write bits: 4", "a number inside packed has no base and no words, only bits")
	case m.packing:
	case m.json && (based || v.has("width") || v.has("bits")):
		m.fault(v.node, "field", "take them out", "a number of JSON has no base, width or bits")
	case m.json:
	case v.node.field("words") != nil && (based || v.has("width") || v.has("bits") || v.has("add") || v.has("plus")):
		m.fault(v.node, "field", "take the others out", "a number with words has no base, width, bits, add or plus")
	case !based && v.node.field("words") == nil:
		m.fault(v.node, "missing", "write base: decimal", "a number needs the key base")
	}
}

// bits reads 7-13, or inside packed how many bits a part takes.
func (m *messageReader) bits(v values, base device.Base) device.Bits {
	n := v.of["bits"]
	switch {
	case n == nil && m.packing && v.node.field("bits") == nil:
		m.fault(v.node, "missing", "write bits: 4", "inside packed each part says how many bits it takes")
		return device.Bits{}
	case n == nil:
		return device.Bits{}
	case m.packing:
		count, _ := m.numberOf(n, 1, 16)
		return device.Bits{Count: count}
	}
	low, high, found := strings.Cut(n.text, "-")
	from, err := strconv.Atoi(low)
	to, err2 := strconv.Atoi(high)
	if !found || err != nil || err2 != nil || from < 0 || from > to || to >= mostBits {
		m.fault(n, "bits", "write bits: 7-13", "%s are no bits of a number; the lowest of them stands first, 0 is the lowest of all, and %d the highest", quoteText(n.text), mostBits-1)
		return device.Bits{}
	}
	b := device.Bits{Low: from, Count: to - from + 1}
	if base.Bits() > 0 && b.Count > base.Bits() {
		m.fault(n, "bits", "", "%d bits do not fit a number of %s", b.Count, base)
	}
	return b
}

// words reads a lookup table.
func (m *messageReader) words(v values) []device.Word {
	n := v.of["words"]
	if n == nil {
		return nil
	}
	if n.shape != mapping || len(n.entries) == 0 {
		m.fault(n, "shape", `write words: {0: "OFF", 1: "MIC"}`, "the words of a number are a mapping of numbers to texts")
		return nil
	}
	var words []device.Word
	seen := map[string]string{}
	for _, e := range n.entries {
		number, ok := m.numberOf(e.key, 0, most)
		word := m.raw(e.value)
		if !ok || word == nil {
			continue
		}
		if other, twice := seen[string(word)]; twice {
			m.fault(e.value, "duplicate", "", "%s stands for %s already", quoteBytes(word), other)
			continue
		}
		seen[string(word)] = e.key.text
		words = append(words, device.Word{Number: number, Bytes: word})
	}
	return words
}

// plus reads the name of a parameter that is added.
func (m *messageReader) plus(v values) string {
	if n := v.of["plus"]; n != nil {
		if numeric, _ := m.file.parameterKind(n.text); !numeric {
			legal := m.file.parameterNames(true)
			m.fault(n, "word", maybe(n.text, legal), "%s is no parameter that is a number; %s", quoteText(n.text), orNone(legal))
			return ""
		}
	}
	return v.text("plus")
}

func orNone(names []string) string {
	if len(names) == 0 {
		return "the device has none"
	}
	return phrase.Put("legal are {names}", "names", oneOf(names))
}

// literal reads bytes, inside packed with the bits that they take.
func (m *messageReader) literal(v values) device.Field {
	f := device.Field{Kind: device.Literal, Bytes: m.hexBytes(v.of["bytes"], v.text("bytes"), 0)}
	switch {
	case m.packing:
		f.Bits = m.bits(v, device.BaseUnknown)
		if f.Bits.Count > 0 && len(f.Bytes) == 1 && int(f.Bytes[0]) < 1<<f.Bits.Count || f.Bytes == nil {
			return f
		}
		m.fault(v.of["bytes"], "bits", `write {bytes: "0B", bits: 4}`, "inside packed, bytes are one byte that fits its bits")
	case v.has("bits"):
		m.fault(v.of["bits"], "field", "take it out", "bytes have bits inside packed only")
	}
	return f
}
