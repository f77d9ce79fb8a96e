package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/patch"
)

var twoInputs = rule{
	Rule: Rule{
		Code:     "two-inputs",
		Severity: "warning",
		Title:    "an output of a relay matrix is closed to two inputs",
		Manual: `Relays can join two inputs through one output; no plan asks for that. It was read
back from the device, or written by hand. Open one of the two.`,
		Bad: Example{Studio: `studio: Two inputs at one output
matrices:
  grid: {inputs: 2, outputs: 2, kind: contacts}
rest: {crosspoints: {grid: {out1: [in1, in2]}}}
`},
		Good: Example{Studio: `studio: One input at each output
matrices:
  grid: {inputs: 2, outputs: 2, kind: contacts}
rest: {crosspoints: {grid: {out1: in1, out2: in2}}}
`},
	},
	studio:  onRest(twoInputsIn),
	session: onKept(twoInputsIn),
}

func twoInputsIn(_ *view, p patch.Patch, key string) []violation {
	var all []violation
	seen := map[name.Point]bool{}
	for _, c := range p.Crosspoints {
		inputs := p.Inputs(c.Output)
		if len(inputs) < 2 || seen[c.Output] {
			continue
		}
		seen[c.Output] = true
		all = append(all, violation{
			key:     crosspointKey(key, c.Output),
			message: fmt.Sprintf("%s is closed to %d inputs, %s, and joins them", c.Output, len(inputs), folded(inputs)),
			hint:    "leave one of them",
		})
	}
	return all
}

func crosspointKey(key string, output name.Point) string {
	return key + ".crosspoints." + output.Owner + "." + output.Port()
}
