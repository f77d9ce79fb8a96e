package text

import (
	"bytes"
	"strings"

	"bayhand/model/device"
	"bayhand/model/phrase"
)

// raw reads bytes that may be written as text, or as {bytes: 0D 0A}.
func (r *reader) raw(n *node) []byte {
	switch {
	case n == nil:
		return nil
	case n.shape == mapping:
		v := r.fields(n, rawFields)
		if !v.has("bytes") {
			return nil
		}
		return r.hexBytes(v.of["bytes"], v.text("bytes"), 0)
	case !r.isText(n) || !r.isASCII(n, 0, n.text):
		return nil
	}
	return []byte(n.text)
}

// isASCII refuses text that a device may have in another code than this file: what
// bytes stand for it, nobody said. The text begins at a column of the scalar.
func (r *reader) isASCII(n *node, at int, text string) bool {
	for i, c := range []rune(text) {
		if c > 0x7F {
			r.faultIn(n, at+i, "bytes", "write its bytes, such as {bytes: E9}", "%s is not ASCII, and devices have several codes for it", quoteText(string(c)))
			return false
		}
	}
	return true
}

// requests finds what ends a message to a device of lines: what the frame says, or
// what all of them end in.
func (d *deviceReader) requests(frame, messages *node) {
	f := &d.device.Frame
	if f.Kind != device.Lines || messages == nil {
		return
	}
	said := frame.field("requests")
	switch {
	case said != nil && said.shape == scalar && said.text == "none":
		return
	case said != nil:
		f.Requests = d.raw(said)
	default:
		f.Requests = d.commonEnd()
	}
	for _, e := range d.device.Exchanges {
		if n := d.sends[e.Role]; n != nil && len(d.problems) == 0 && (len(f.Requests) == 0 || !endsIn(e.Send, f.Requests)) {
			d.report(d.placeOf(n), "frame", "end it as the device's manual says, or write in frame: requests: none", "what is sent for %s does not end %s, so the device goes on waiting", e.Role, endWords(f.Requests))
		}
	}
}

func endWords(end []byte) string {
	if len(end) == 0 {
		return "in anything that ends the others too"
	}
	return phrase.Put("in {bytes}", "bytes", quoteBytes(end))
}

// quoteBytes is bytes as a person writes them in quotes.
func quoteBytes(p []byte) string {
	return `"` + strings.NewReplacer("\r", `\r`, "\n", `\n`, "\t", `\t`).Replace(string(p)) + `"`
}

// commonEnd is the bytes that no word has which most messages to the device end in.
func (d *deviceReader) commonEnd() []byte {
	var common []byte
	for _, e := range d.device.Exchanges {
		if len(e.Send) == 0 {
			continue
		}
		end := closing(lastLiteral(e.Send))
		if common == nil || len(end) > 0 && len(end) < len(common) && bytes.HasSuffix(common, end) {
			common = end
		}
	}
	return common
}

// closing is the end of some bytes that closes a message: control characters, or
// where there are none punctuation.
func closing(p []byte) []byte {
	control := bytes.TrimRightFunc(p, func(c rune) bool { return c < ' ' })
	if len(control) < len(p) {
		return p[len(control):]
	}
	word := bytes.TrimRightFunc(p, func(c rune) bool { return strings.ContainsRune("!#$%&*+;:,./?@|~>)]}", c) })
	return p[len(word):]
}

// lastLiteral is what always stands at the end of the fields.
func lastLiteral(fields []device.Field) []byte {
	var end []byte
	for i := len(fields) - 1; i >= 0 && fields[i].Kind == device.Literal; i-- {
		end = append(bytes.Clone(fields[i].Bytes), end...)
	}
	return end
}

func endsIn(fields []device.Field, end []byte) bool {
	return bytes.HasSuffix(lastLiteral(fields), end)
}

// arrives sees to it that an answer of a device of lines ends as its lines do.
func (d *deviceReader) arrives(n *node, fields []device.Field, what string) {
	f := d.device.Frame
	if n == nil || f.Kind != device.Lines || len(f.End) == 0 || len(fields) == 0 || endsIn(fields, f.End) {
		return
	}
	d.report(d.placeOf(n), "frame", phrase.Put("write {bytes} at its end", "bytes", quoteBytes(f.End)), "the %s does not end in %s, which ends the lines of the device, so it can never arrive", what, quoteBytes(f.End))
}
