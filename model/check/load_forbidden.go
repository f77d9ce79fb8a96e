package check

import (
	"fmt"
	"math"

	"bayhand/model/measure"
)

var loadForbidden = arriving(Rule{
	Code:     "load-forbidden",
	Severity: "warning",
	Title:    "an output sees less than the lowest load that it may",
	Manual: `Below the lowest load that its maker gives, an output distorts and can overheat.
Inputs on one piece of metal count in parallel. Put a line amplifier between, or share
the signal through a matrix of amplifiers.`,
	Bad: Example{Studio: `studio: Two inputs where one is enough
gear:
  player: {outputs: {out1: {line: pro-line, min-load: 6 kohm}}}
  recorder: {inputs: {in1-2: pro-line}}
wiring:
  - player/out1 -> recorder/in1-2
`},
	Good: Example{Studio: `studio: One input
gear:
  player: {outputs: {out1: {line: pro-line, min-load: 6 kohm}}}
  recorder: {inputs: {in1: pro-line}}
wiring:
  - player/out1 -> recorder/in1
`},
}, loadsForbidden)

func loadsForbidden(all []arrival) []violation {
	words := func(a arrival) string {
		if !a.Forbidden() {
			return ""
		}
		return fmt.Sprintf("sees %s, and may see %s at the least", measure.Impedance(math.Round(float64(*a.Load))), a.Source.Line.MinLoad)
	}
	return told(all, words, func(b *batch) violation {
		return violation{
			message: fmt.Sprintf("%s %s: %s together", unique(b.points), b.words, unique(b.others)),
			hint:    "put a line amplifier between, or share the signal through a matrix of amplifiers",
		}
	})
}
