package check

import (
	"fmt"
	"math"
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
)

var loadHeavy = rule{
	Rule: Rule{
		Code:     "load-heavy",
		Severity: "advice",
		Title:    "the inputs that an output drives load it",
		Manual: `An output of impedance ZS into inputs of ZL together loses 20 log10(ZL / (ZS + ZL))
decibels (the voltage divider): 0.8 dB where the load is ten times the source, 6 dB
where both are the same. Inputs on one piece of metal, by a tap or a mult, count in
parallel. Said from 2 dB on; then distortion and the response suffer as well. Put a
line amplifier between, or share the signal through a matrix of amplifiers. Older gear
gives its level into a matched load, 600 ohm into 600 ohm: write level-into: 600 ohm,
and what is lost counts from there.`,
		Bad: Example{Studio: `studio: One old output, three inputs
lines:
  old-line: {kind: line, level: +4 dBu, max: +20 dBu, source: 2 kohm, load: 10 kohm, balanced: true}
gear:
  player: {outputs: {out1: old-line}}
  recorder: {inputs: {in1-3: old-line}}
wiring:
  - player/out1 -> recorder/in1-3
`},
		Good: Example{Studio: `studio: One old output, one input
lines:
  old-line: {kind: line, level: +4 dBu, max: +20 dBu, source: 2 kohm, load: 10 kohm, balanced: true}
gear:
  player: {outputs: {out1: old-line}}
  recorder: {inputs: {in1: old-line}}
wiring:
  - player/out1 -> recorder/in1
`},
	},
	studio:  func(v *view) []violation { return loadsHeavy(v.arriveAtRest()) },
	session: func(v *sessionView) []violation { return loadsHeavy(v.arriveAsked()) },
}

// askedOfSources are all that the session asks of outputs that it takes somewhere
// new: what they drive at rest counts with it.
func (v *sessionView) askedOfSources() []meeting {
	asked := map[name.Point]bool{}
	for _, m := range v.joinedAsked() {
		asked[m.source.Point] = true
	}
	return slices.DeleteFunc(v.wanted(), func(m meeting) bool { return !asked[m.source.Point] || !v.metal(m) })
}

const heavyLoss = 2 // dB: common practice, no published source

// loadsHeavy has a finding for each line of the file that speaks of an output first,
// with all inputs that load it. Headphones and loudspeakers are meant to load their
// source (IEC 61938 feeds headphones from 120 ohm), and of kinds that differ another
// rule speaks.
func loadsHeavy(all []arrival) []violation {
	var b batches
	keys := map[name.Point]string{}
	for _, a := range each(all, arrival.signal) {
		loss := a.Loading()
		if loss < heavyLoss {
			continue
		}
		from := a.Source.Point
		keys[from] = orElse(keys[from], a.key)
		load := measure.Impedance(math.Round(float64(*a.Load)))
		b.add(keys[from], fmt.Sprintf("(%s) into %s: %.1f dB", a.Source.Line.Source, load, loss), from, a.Destination.Point)
	}
	var out []violation
	for _, line := range b {
		out = append(out, violation{
			key:     line.key,
			message: fmt.Sprintf("%s %s are lost at %s", unique(line.points), line.words, unique(line.others)),
			hint:    "put a line amplifier between, or share the signal through a matrix of amplifiers",
		})
	}
	return out
}
