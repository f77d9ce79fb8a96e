package check

import (
	"slices"
	"strconv"
	"strings"

	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var gangsApart = deviceRule{
	Rule: Rule{
		Code:     "gangs-apart",
		Severity: "error",
		Title:    "a device moves outputs together that its matrix is said to switch apart",
		Manual: `The description says which outputs its device moves together, whichever of them is
named. They stand under stereo: of the matrix too, so that no plan asks for what the
device cannot do. The device is not driven before they do.`,
		Bad:  Example{Studio: gangStudio("")},
		Good: Example{Studio: gangStudio(", stereo: [[out1, out2], [out3, out4]]")},
	},
	find: func(m studio.Matrix, d *device.Description) []violation {
		var apart, groups []string
		for _, gang := range d.Gangs.All(m.Outputs) {
			var outputs []name.Point
			var ports []string
			for _, output := range gang {
				outputs, ports = append(outputs, m.Out(output)), append(ports, m.Out(output).Port())
			}
			if !slices.ContainsFunc(m.Stereo, func(group []name.Point) bool { return slices.Equal(group, outputs) }) {
				apart = append(apart, strings.Join(ports, " and "))
			}
			groups = append(groups, "["+strings.Join(ports, ", ")+"]")
		}
		if len(apart) == 0 {
			return nil
		}
		moves := apart[0]
		if len(apart) > 1 {
			moves = phrase.Put("{outputs} and {n} more like them", "outputs", moves, "n", strconv.Itoa(len(apart)-1))
		}
		return []violation{{
			key:     "matrices." + m.Name,
			message: phrase.Put("a {device} moves {outputs} together, and {matrix} does not say so", "device", d.Name, "outputs", moves, "matrix", m.Name),
			hint:    phrase.Put("write stereo: [{groups}]", "groups", strings.Join(groups, ", ")),
		}}
	},
}

// gangStudio is a studio with one matrix that moves its outputs in pairs.
func gangStudio(more string) string {
	return `studio: A matrix
matrices:
  grid: {inputs: 4, outputs: 4, device: {description: line-pairs, link: "tcp:127.0.0.1:5025"}` + more + `}
`
}
