package text

import (
	"strconv"

	"bayhand/model/device"
)

// gangs reads which outputs the device moves together: how many neighbours, or lists.
func (d *deviceReader) gangs(n *node) {
	switch {
	case n == nil:
	case n.shape == scalar:
		of, err := strconv.Atoi(n.text)
		if err != nil || of < 2 || of > mostGang {
			d.fault(n, "number", "write gangs: 2, or gangs: [[1, 2], [5, 6]]", "%s is not how many outputs move together, from 2 to %d", quoteText(n.text), mostGang)
			return
		}
		if outputs := d.device.Outputs; outputs%of != 0 {
			d.report(d.placeOf(n), "number", "name those that move together, as in gangs: [[1, 2], [5, 6]]", "%d outputs are no whole number of gangs of %d", outputs, of)
			return
		}
		d.device.Gangs.Of = of
	case n.shape != list || len(n.items) == 0:
		d.fault(n, "shape", "write gangs: 2, or gangs: [[1, 2], [5, 6]]", "gangs is how many outputs move together, or a list of lists of them")
	default:
		taken := map[int]bool{}
		for _, item := range n.items {
			if gang, ok := d.gangList(item, taken); ok {
				d.device.Gangs.Lists = append(d.device.Gangs.Lists, gang)
			}
		}
	}
}

// mostGang is how many outputs one gang has at most.
const mostGang = 64

// gangList reads the outputs of one gang.
func (d *deviceReader) gangList(n *node, taken map[int]bool) (gang []int, ok bool) {
	if n.shape != list || len(n.items) < 2 || len(n.items) > mostGang {
		d.fault(n, "shape", "write [1, 2]", "a gang is a list of two outputs or more, at most %d", mostGang)
		return nil, false
	}
	for _, item := range n.items {
		output, err := strconv.Atoi(item.text)
		switch most := max(d.device.Outputs, d.device.MaxOutputs); {
		case err != nil || output < 1 || most > 0 && output > most:
			d.fault(item, "number", "", "%s is no output of the device", quoteText(item.text))
			return nil, false
		case taken[output]:
			d.fault(item, "duplicate", "", "output %d stands in a gang already", output)
			return nil, false
		}
		taken[output] = true
		gang = append(gang, output)
	}
	return gang, true
}

// gang reads whether a number is counted in gangs.
func (m *messageReader) gang(v values, f device.Field) bool {
	n := v.of["gang"]
	switch {
	case n == nil:
		return false
	case f.Value != "output" && f.Value != "input":
		m.fault(n, "field", "take it out", "outputs and inputs are counted in gangs; this number is %s", f.Value)
	case m.file.device.Gangs.Of == 0:
		m.fault(n, "field", "write gangs: 2 above", "the description does not say how many outputs a gang has")
	}
	return v.flag("gang", false)
}
