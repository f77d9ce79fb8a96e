package check

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/level"
	"bayhand/model/name"
)

var coldShorted = arriving(Rule{
	Code:     "cold-shorted",
	Severity: "warning",
	Title:    "an output that drives both legs works into a short with one of them",
	Manual: `An active output drives its cold leg against ground. Where a wire, a TS plug or
an unbalanced input grounds the leg, half of the voltage is lost, 6.02 dB, and the stage
gives its current into the short: half of the voltage through half of the impedance. It
gets warm, distorts, and lets the current flow in the shields. Leave the cold leg open
in the cable to the unbalanced gear, ` + "`cold: open`" + ` on its wire. Balanced gear that is
patched to the output keeps both legs then; with the leg open at the output they all lose it.`,
	Bad: Example{Studio: `studio: A driven leg into ground
gear:
  desk: {outputs: {aux1: {line: pro-line, balanced: active}}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
wiring:
  - desk/aux1 -> echo/in1
`},
	Good: Example{Studio: `studio: The leg left open
gear:
  desk: {outputs: {aux1: {line: pro-line, balanced: active}}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
wiring:
  - {from: desk/aux1, to: echo/in1, cold: open}
`},
}, coldsShorted)

func coldsShorted(all []arrival) []violation {
	words := func(a arrival) string {
		if !a.Shorted() {
			return ""
		}
		l := a.Source.Line
		return fmt.Sprintf("gives %.1f mA into it at its working level, %.0f mA when it clips, and half of its voltage: %.1f dB less",
			1000*level.ColdCurrent(l, float64(l.Level)), 1000*level.ColdCurrent(l, float64(l.Max)), legLost)
	}
	by := map[name.Point][]level.Ground{}
	for _, a := range all {
		by[a.Source.Point] = a.Cold
	}
	return told(all, words, func(b *batch) violation {
		var at []level.Ground
		for _, p := range b.points {
			at = append(at, by[p]...)
		}
		return violation{
			message: fmt.Sprintf("the cold leg of %s is grounded by %s; an active output %s", unique(b.points), groundedBy(at), b.words),
			hint:    "leave the cold leg open in the cable to unbalanced gear, with cold: open on its wire, and use TRS plugs",
		}
	})
}

// groundedBy says what grounds a cold leg, each kind once.
func groundedBy(all []level.Ground) string {
	var phrases []string
	for _, kind := range []struct {
		by    level.GroundBy
		words string
	}{
		{level.ByInput, "the unbalanced input %s"}, {level.ByOutput, "the unbalanced output %s"},
		{level.ByPlug, "a TS plug at %s"}, {level.ByCable, "the cable at %s"}, {level.ByCord, "a TS cord in %s"},
	} {
		var points []name.Point
		for _, g := range all {
			if g.By == kind.by {
				points = append(points, g.At)
			}
		}
		if len(points) > 0 {
			phrases = append(phrases, strings.Replace(kind.words, "%s", unique(points), 1))
		}
	}
	return sentence(slices.Compact(phrases))
}
