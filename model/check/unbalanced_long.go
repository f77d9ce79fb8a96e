package check

import (
	"fmt"

	"bayhand/model/measure"
	"bayhand/model/studio"
)

var unbalancedLong = arriving(Rule{
	Code:     "unbalanced-long",
	Severity: "advice",
	Title:    "a long line is not balanced",
	Manual: `An unbalanced line takes up hum along its length, and the current between the grounds
of both pieces of gear flows in its shield. Said from 8 m (common practice, no
published source). Keep it short, put a transformer or a DI box at the source,
or use balanced gear.`,
	Bad: Example{Studio: `studio: A synthesiser at the far wall
gear:
  synth: {outputs: {out1: home-line}}
  mixer: {inputs: {in1: home-line}}
wiring:
  - {from: synth/out1, to: mixer/in1, length: 12 m}
`},
	Good: Example{Studio: `studio: A synthesiser beside the mixer
gear:
  synth: {outputs: {out1: home-line}}
  mixer: {inputs: {in1: home-line}}
wiring:
  - {from: synth/out1, to: mixer/in1, length: 3 m}
`},
}, unbalancedsLong)

// longUnbalanced is from where on: common practice, no published source.
const longUnbalanced = 8 * measure.Metre

func unbalancedsLong(all []arrival) []violation {
	words := func(a arrival) string {
		quiet := func(l studio.Line) bool {
			return l.Kind == studio.LineLevel || l.Kind == studio.MicLevel || l.Kind == studio.InstrumentLevel
		}
		unbalanced := !a.Source.Line.Balanced || !a.Destination.Line.Balanced || len(a.Cold) > 0
		if a.Length == nil || *a.Length <= longUnbalanced || !unbalanced || !quiet(a.Source.Line) || !quiet(a.Destination.Line) {
			return ""
		}
		return metres(*a.Length, a.Estimated)
	}
	return told(all, words, func(b *batch) violation {
		return violation{
			message: fmt.Sprintf("from %s to %s it is %s of a line that is not balanced", unique(b.points), unique(b.others), b.words),
			hint:    "keep it short, put a transformer or a DI box at the source, or use balanced gear",
		}
	})
}
