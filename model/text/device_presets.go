package text

import (
	"strconv"

	"bayhand/model/device"
	"bayhand/model/name"
)

// presets reads what the stored presets of the device hold: {3: {out1: in5}}.
func (d *deviceReader) presets(n *node) {
	switch {
	case n == nil:
		return
	case n.shape != mapping:
		d.fault(n, "shape", "write presets: {3: {out1: in5}}", "presets is a mapping of numbers to what they hold")
		return
	case d.exchanges[device.RecallPreset] == nil:
		d.report(d.placeOf(n), "missing", "describe the message preset", "presets are recalled by a message, and there is none")
	}
	seen := map[int]bool{}
	for _, e := range n.entries {
		number, err := strconv.Atoi(e.key.text)
		switch {
		case err != nil || number < 0 || number > mostPreset:
			d.fault(e.key, "number", "", "%s is no number of a preset, from 0 to %d", quoteText(e.key.text), mostPreset)
			continue
		case seen[number]:
			d.fault(e.key, "duplicate", "", "preset %d stands here already", number)
			continue
		case e.value.shape != mapping:
			d.fault(e.value, "shape", "write {out1: in5}, or {} where all is off", "what a preset holds is a mapping of outputs to inputs")
			continue
		}
		seen[number] = true
		d.device.Presets = append(d.device.Presets, device.Preset{Number: number, Holds: d.holds(e.value)})
	}
}

// mostPreset is the highest number of a preset.
const mostPreset = 65535

// holds reads outputs and the inputs that they listen to.
func (d *deviceReader) holds(n *node) [][2]int {
	var all [][2]int
	named := map[int]bool{}
	for _, e := range n.entries {
		output, okOut := d.side(e.key, "out", max(d.device.Outputs, d.device.MaxOutputs))
		input, okIn := d.side(e.value, "in", max(d.device.Inputs, d.device.MaxInputs))
		switch {
		case !okOut || !okIn:
		case named[output]:
			d.fault(e.key, "duplicate", "", "out%d stands in this preset already", output)
		default:
			named[output] = true
			all = append(all, [2]int{output, input})
		}
	}
	return all
}

// side reads out1 or in5; most is 0 where the studio says how many there are.
func (d *deviceReader) side(n *node, stem string, most int) (number int, ok bool) {
	p, err := name.Parse("m/" + n.text)
	if n.shape != scalar || err != nil || p.Stem != stem || p.Number < 1 || most > 0 && p.Number > most {
		d.fault(n, "word", "write {out1: in5}", "%s is not one of its %sputs", quoteText(n.text), stem)
		return 0, false
	}
	return p.Number, true
}
