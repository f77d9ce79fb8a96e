package text

import (
	"encoding/hex"

	"bayhand/model/device"
)

// delimited reads a frame with a start and an end.
func (d *deviceReader) delimited(v values) device.Frame {
	f := device.Frame{Kind: device.Delimited, Start: d.hexBytes(v.of["start"], v.text("start"), 0), End: d.hexBytes(v.of["end"], v.text("end"), 0), After: v.number("after", 0)}
	if v.has("escape") {
		e := d.fields(v.of["escape"], escapeFields)
		f.Escape = d.oneByte(e.of["byte"])
		as := e.of["as"]
		if as != nil && (as.shape != mapping || len(as.entries) == 0) {
			d.fault(as, "shape", `write as: {"03": "83"}`, "as is a mapping of bytes to what stands after the escape")
		} else if as != nil {
			for _, pair := range as.entries {
				f.Escaped = append(f.Escaped, device.Stuffed{Byte: d.oneByte(pair.key), As: d.oneByte(pair.value)})
			}
		}
	}
	return f
}

// oneByte reads two hexadecimal digits.
func (r *reader) oneByte(n *node) byte {
	if n == nil {
		return 0
	}
	p, err := hex.DecodeString(n.text)
	if err != nil || len(p) != 1 {
		r.fault(n, "bytes", `write "10"`, "%s is no byte in two hexadecimal digits", quoteText(n.text))
		return 0
	}
	return p[0]
}

// opening reads the steps that a link begins with, and what wakes the device.
func (d *deviceReader) opening(v values) {
	for _, item := range v.list("opening") {
		s := d.fields(item, stepFields)
		m := &messageReader{reader: d.reader, file: d, sent: true}
		step := device.Step{Expect: d.raw(s.of["expect"]), Refused: d.raw(s.of["refused"]), Pause: measured(s, "pause", milliseconds, 0), Within: measured(s, "within", milliseconds, 0)}
		if s.has("send") {
			step.Send = m.fieldList(s.of["send"])
		}
		if s.has("send") == s.has("expect") {
			d.fault(item, "opening", `write {send: ["\r"]} or {expect: "> "}`, "a step of the opening sends something, or expects something")
		}
		for _, f := range step.Send {
			if f.Kind != device.Literal && f.Kind != device.Text {
				d.fault(s.of["send"], "opening", "", "an opening sends texts, bytes and parameters, not %s", f.Kind)
			}
		}
		d.device.Opening = append(d.device.Opening, step)
	}
	if w := v.of["wake"]; w != nil {
		wake := d.fields(w, wakeFields)
		d.device.Wake, d.device.WakePause = d.raw(wake.of["send"]), measured(wake, "pause", milliseconds, 0)
	}
}
