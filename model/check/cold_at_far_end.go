package check

import (
	"slices"

	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var coldAtFarEnd = arriving(Rule{
	Code:     "cold-at-far-end",
	Severity: "warning",
	Title:    "a cross-coupled output has its cold leg grounded somewhere else than at its own end",
	Manual: `A cross-coupled output senses that its cold leg is grounded and doubles the hot one:
no level is lost, though it clips 6.02 dB earlier. With the length of a cable between
it and the short it may oscillate, as handbooks of audio engineering say. Join the cold
leg with the shield at the source: ` + "`cold: grounded`" + ` on the wire that comes from it.`,
	Bad: Example{Studio: `studio: Grounded at the far end
gear:
  synth: {outputs: {out1: {line: pro-line, balanced: cross-coupled}}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
wiring:
  - synth/out1 -> echo/in1
`},
	Good: Example{Studio: `studio: Grounded at the source
gear:
  synth: {outputs: {out1: {line: pro-line, balanced: cross-coupled}}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
wiring:
  - {from: synth/out1, to: echo/in1, cold: grounded}
`},
}, coldsAtFarEnd)

func coldsAtFarEnd(all []arrival) []violation {
	by := map[name.Point][]level.Ground{}
	words := func(a arrival) string {
		atSource := slices.ContainsFunc(a.Cold, func(g level.Ground) bool { return g.AtSource })
		if a.Source.Line.Stage != studio.CrossCoupledStage || len(a.Cold) == 0 || atSource {
			return ""
		}
		by[a.Source.Point] = a.Cold
		return "far"
	}
	return told(all, words, func(b *batch) violation {
		var at []level.Ground
		for _, p := range b.points {
			at = append(at, by[p]...)
		}
		return violation{
			message: phrase.Put("the cold leg of the cross-coupled {outputs} is grounded by {what} and not at its own end: it may oscillate",
				"outputs", unique(b.points), "what", groundedBy(at)),
			hint: "join the cold leg with the shield at the source: cold: grounded on its wire; it clips 6 dB earlier then",
		}
	})
}
