package text

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/device"
	"bayhand/model/name"
)

// ReadDevice reads a device description. It is complete if no problem is an
// error: every message that its way of switching needs is there, and every
// field names something that is known.
func ReadDevice(file string, src []byte) (*device.Description, Places, Problems) {
	r, root := open(file, src)
	d := &deviceReader{reader: r, device: &device.Description{}, exchanges: map[device.Role]*node{}, sends: map[device.Role]*node{}}
	if root != nil {
		r.attempt(func() { d.file(root) })
	}
	return d.device, r.places, r.told()
}

type deviceReader struct {
	*reader
	device *device.Description
	// exchanges holds where each message is described, sends where what is sent for it.
	exchanges, sends map[device.Role]*node
}

func (d *deviceReader) file(root *node) {
	v := d.fields(root, descriptionFields)
	to := d.device
	to.Name, to.Label, to.Standard = v.text("device"), v.text("label"), v.text("standard")
	if n := v.of["device"]; n != nil {
		if err := name.CheckOwner(n.text); err != nil {
			d.nameFault(n, err)
		}
	}
	d.links(v.of["links"])
	d.serial(v.of["serial"])
	d.size(v)
	switch v.word("switching") {
	case "by-crosspoint":
		to.Switching = device.ByCrosspoint
	case "by-output":
		to.Switching = device.ByOutput
	}
	d.gangs(v.of["gangs"])
	d.frame(v.of["frame"])
	if to.Serial.Flow == "software" && to.Frame.Kind != device.Lines && v.of["serial"] != nil {
		d.fault(v.of["serial"], "flow", "write flow: hardware or none", "software flow control takes the bytes 11 and 13 out of the stream, and these messages may contain them")
	}
	to.Echo = v.flag("echo", false)
	d.parameters(v.of["parameters"])
	d.opening(v)
	d.messages(v.of["messages"])
	d.requests(v.of["frame"], v.of["messages"])
	d.presets(v.of["presets"])
	d.pacing(v.of["pacing"])
	to.Prepare, to.Faults = v.texts("prepare"), v.texts("faults")
	for _, item := range v.list("transcripts") {
		d.transcript(item)
	}
}

func (d *deviceReader) links(n *node) {
	if n == nil {
		return
	}
	for _, item := range n.items {
		if !d.isText(item) {
			continue
		}
		link := device.Link(slices.Index(descriptionLinks, d.wordOf(item, descriptionLinks)) + 1)
		switch {
		case link == device.LinkUnknown:
		case slices.Contains(d.device.Links, link):
			d.fault(item, "duplicate", "", "%s stands twice", item.text)
		default:
			d.device.Links = append(d.device.Links, link)
		}
	}
	if len(n.items) == 0 {
		d.fault(n, "empty", "write [serial, tcp]", "a device is connected to one link at least")
	}
}

func (d *deviceReader) serial(n *node) {
	if n == nil {
		return
	}
	v := d.fields(n, serialFields)
	d.device.Serial = device.Serial{
		Baud: v.number("baud", 0), DataBits: v.number("data-bits", 0), StopBits: v.number("stop-bits", 0), Parity: v.word("parity"), Flow: v.word("flow"),
	}
}

// size is given by the studio, within bounds, or fixed.
func (d *deviceReader) size(v values) {
	to := d.device
	to.MaxInputs, to.MaxOutputs = v.number("max-inputs", 0), v.number("max-outputs", 0)
	switch n := v.of["size"]; {
	case n == nil:
	case n.shape == scalar && n.text == "given":
	case n.shape == scalar:
		d.fault(n, "word", maybe(n.text, []string{"given"}), "%s stands here; write given, or {inputs: 8, outputs: 8}", quoteText(n.text))
	default:
		size := d.fields(n, sizeFields)
		to.Inputs, to.Outputs = size.number("inputs", 0), size.number("outputs", 0)
		for _, key := range []string{"max-inputs", "max-outputs"} {
			if v.has(key) {
				d.report(d.placeOf(v.of[key]), "size", "take it out", "%s bounds a size that the studio gives; this one is fixed", key)
			}
		}
	}
}

func (d *deviceReader) frame(n *node) {
	switch {
	case n == nil:
	case n.shape == scalar && n.text == "midi":
		d.device.Frame = device.Frame{Kind: device.MIDIMessages}
	case n.shape == scalar:
		d.fault(n, "word", maybe(n.text, []string{"midi"}), `%s stands here; write midi, {lines: "\n"}, or {start: "02", length: {at: 1, base: 8-bit, add: 4}}`, quoteText(n.text))
	default:
		d.frameFields(d.fields(n, frameFields))
	}
}

// frameFields reads lines, or what opens a message that says how long it is.
func (d *deviceReader) frameFields(v values) {
	started := v.has("start") && v.has("length") != v.has("end")
	switch {
	case v.has("lines") == started, v.has("lines") && (v.has("start") || v.has("length") || v.has("end")):
		d.fault(v.node, "frame", `write {lines: "\n"}, {start: "02", length: {at: 1, base: 8-bit, add: 4}}, or {start: "02", end: "03"}`, "messages are lines, or have a start and a length, or a start and an end")
	case v.has("length"):
		d.device.Frame = d.counted(v)
	case v.has("end"):
		d.device.Frame = d.delimited(v)
	default:
		d.device.Frame = device.Frame{Kind: device.Lines, End: d.raw(v.of["lines"]), Prompt: d.raw(v.of["prompt"])}
	}
	if v.has("single") {
		d.device.Frame.Single = d.hexBytes(v.of["single"], v.text("single"), 0)
	}
	if d.device.Frame.Kind != device.Delimited {
		for _, key := range []string{"after", "escape"} {
			if v.has(key) {
				d.fault(v.of[key], "frame", "take it out", "%s is for messages with a start and an end", key)
			}
		}
	}
	if d.device.Frame.Kind != device.Lines {
		for _, key := range []string{"prompt", "requests"} {
			if v.has(key) {
				d.fault(v.of[key], "frame", "take it out", "%s is for messages that are lines", key)
			}
		}
	}
}

func (d *deviceReader) counted(v values) device.Frame {
	f := device.Frame{Kind: device.Counted, Start: d.hexBytes(v.of["start"], v.text("start"), 0)}
	length := d.fields(v.of["length"], lengthFields)
	f.Length = device.Length{At: length.number("at", 0), Base: device.BaseNamed(length.word("base")), Width: length.number("width", 0), Add: length.number("add", 0)}
	switch digits := f.Length.Base == device.Decimal || f.Length.Base == device.Hexadecimal; {
	case digits && length.node.field("width") == nil:
		d.fault(length.node, "missing", "write width: 3", "a length in digits needs the key width: how many there always are")
	case !digits && length.has("width"):
		d.fault(length.of["width"], "frame", "take it out", "a length of a fixed number of bytes has no width")
	}
	if length.has("at") && f.Start != nil && f.Length.At < len(f.Start) {
		d.fault(length.of["at"], "frame", "", "byte %d stands in the start of the message, which is bytes 0 to %d", f.Length.At, len(f.Start)-1)
	}
	return f
}

func (d *deviceReader) pacing(n *node) {
	p := &d.device.Pacing
	p.Timeout = 1000
	if n == nil {
		return
	}
	v := d.fields(n, pacingFields)
	p.Each = measured(v, "each", milliseconds, 0)
	p.Gap, p.Settle, p.Timeout = measured(v, "gap", milliseconds, 0), measured(v, "settle", milliseconds, 0), measured(v, "timeout", milliseconds, p.Timeout)
	p.Retries, p.Readings = v.number("retries", 0), v.number("readings", 0)
	if v.has("timeout") && p.Timeout == 0 {
		d.fault(v.of["timeout"], "quantity", "", "no answer can come within no time; the timeout is more than 0 ms")
	}
}

const longestPause = 60 * 1000

// milliseconds reads a whole number with ms or s.
func milliseconds(text string) (int, error) {
	number, times := text, 0
	if cut, ok := strings.CutSuffix(text, "ms"); ok {
		number, times = cut, 1
	} else if cut, ok := strings.CutSuffix(text, "s"); ok {
		number, times = cut, 1000
	}
	n, err := strconv.Atoi(strings.TrimSpace(number))
	if err != nil || times == 0 || n < 0 || n > longestPause/times {
		return 0, fmt.Errorf("%q is no time; write a whole number and ms or s, such as 10 ms, up to 60 s", text)
	}
	return n * times, nil
}
