package text

import (
	"encoding/json"

	"bayhand/model/device"
)

// ends are the words for the two ends of a number.
var ends = map[string]device.End{"high": device.High, "low": device.Low}

// padding reads what fills up a width, and on which side.
func (m *messageReader) padding(f *device.Field, v values) {
	f.Left = v.word("align") == "left"
	if n := v.of["pad"]; n != nil {
		if pad := m.raw(n); len(pad) == 1 {
			f.Pad = pad[0]
		} else if pad != nil {
			m.fault(n, "field", `write pad: " "`, "%s is not one character", quoteText(n.text))
		}
	}
	for _, key := range []string{"pad", "align"} {
		if v.has(key) && !v.has("width") {
			m.fault(v.of[key], "field", "give it a width", "%s says how a width is filled up, and there is none", key)
		}
	}
}

// off reads what stands for no input.
func (m *messageReader) off(v values, f device.Field) []byte {
	n := v.of["off"]
	switch {
	case n == nil:
		return nil
	case f.Value != "input":
		m.fault(n, "field", "take it out", "off is what stands for no input; this number is %s", f.Value)
		return nil
	case len(f.Words) > 0:
		m.fault(n, "field", `write words: {0: "OFF"}`, "a number with words has a word for off")
		return nil
	case m.json:
		return constant(n)
	case f.Base.Bytes() > 0 && n.shape == scalar:
		p := m.hexBytes(n, n.text, 0)
		if p != nil && len(p) != f.Base.Bytes() {
			m.fault(n, "bytes", "", "a number of %s takes %d bytes, and off has %d", f.Base, f.Base.Bytes(), len(p))
		}
		return p
	}
	p := m.raw(n)
	if p != nil && f.Width > 0 && len(p) > f.Width {
		m.fault(n, "field", "", "off does not fit a width of %d", f.Width)
	}
	return p
}

// either reads lists of fields.
func (m *messageReader) either(v values) device.Field {
	f := device.Field{Kind: device.Either}
	n := v.of["either"]
	if n.shape != list || len(n.items) < 2 {
		m.fault(n, "shape", `write either: [["OK"], ["DONE"]]`, "either has two lists of fields or more")
		return f
	}
	for _, item := range n.items {
		f.Choices = append(f.Choices, m.fieldList(item))
	}
	return f
}

// bitmap reads a field with a bit for each input, output or crosspoint.
func (m *messageReader) bitmap(v values) device.Field {
	over := map[string]device.Over{"inputs": device.Inputs, "outputs": device.Outputs, "crosspoints": device.Crosspoints}
	f := device.Field{Kind: device.Bitmap, Over: over[v.word("bitmap")], Base: device.BaseNamed(v.word("base")), Width: v.number("width", 0),
		First: ends[v.word("first")], Order: ends[v.word("order")]}
	switch {
	case v.node.field("base") == nil:
		m.fault(v.node, "missing", "write base: hexadecimal", "a bitmap needs the key base")
	case v.has("base") && !contains(bitmapBaseWords, v.text("base")):
		m.fault(v.of["base"], "word", "", "a bitmap is written in %s", oneOf(bitmapBaseWords))
	case f.Base == device.Decimal && f.Over == device.Crosspoints:
		m.fault(v.of["base"], "word", "write base: hexadecimal", "a decimal number has no room for all crosspoints")
	case m.sent && f.Over != device.Inputs:
		m.fault(v.of["bitmap"], "word", "write bitmap: inputs", "what is sent has the inputs of one output; more would move what nobody asked to move")
	}
	return f
}

func contains(words []string, word string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}

// pause reads a rest between two parts of what is sent.
func (m *messageReader) pause(v values) device.Field {
	f := device.Field{Kind: device.Pause, Milliseconds: measured(v, "pause", milliseconds, 0)}
	switch {
	case !m.sent || m.inside || m.json:
		m.fault(v.node, "field", "take it out", "a pause stands between the parts of what is sent")
	case m.whole:
		m.fault(v.node, "field", "put it before or after", "a pause cannot stand inside block, hex, nibbles or sevens, whose bytes are sent as one")
	}
	return f
}

// object reads the members of a JSON object.
func (m *messageReader) object(v values) device.Field {
	f := device.Field{Kind: device.Object}
	n := v.of["json"]
	if n.shape != mapping || len(n.entries) == 0 {
		m.fault(n, "shape", `write json: {cmd: "set", out: {number: output}}`, "a JSON object is a mapping of keys to fields")
		return f
	}
	inner := *m
	inner.json = true
	for _, e := range n.entries {
		member, ok := inner.member(e.value)
		if !ok {
			continue
		}
		member.Key = e.key.text
		f.Of = append(f.Of, member)
	}
	return f
}

// member is the value of one key: a constant, or a field.
func (m *messageReader) member(n *node) (device.Field, bool) {
	switch n.shape {
	case scalar:
		return device.Field{Kind: device.Literal, Bytes: constant(n)}, true
	case mapping:
		f, ok := m.field(n)
		switch f.Kind {
		case device.Number, device.Text, device.Each, device.Object:
		default:
			if ok {
				m.fault(n, "field", "write {number: output}, {text: identity}, {each: ...} or {json: ...}", "%s is no value of JSON", f.Kind)
			}
			return f, false
		}
		if ok && f.Kind == device.Each && len(f.Of) != 1 {
			m.fault(n, "field", "write {json: {...}} around them", "an array has one field for each of its items")
		}
		return f, ok
	case list, noShape:
	}
	m.fault(n, "shape", "write {each: outputs, of: [{number: input}]}", "an array is a field each")
	return device.Field{}, false
}

// constant is a scalar as JSON: true, false, null and numbers of JSON (RFC 8259) as they
// stand unless they are in quotes, all else, such as 007, as a string.
func constant(n *node) []byte {
	if !n.quoted {
		if json.Valid([]byte(n.text)) {
			return []byte(n.text)
		}
	}
	text, err := json.Marshal(n.text)
	if err != nil {
		return nil // a text always marshals
	}
	return text
}
