package check

import (
	"fmt"
	"math"
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/studio"
)

var loadHeavy = rule{
	Rule: Rule{
		Code:     "load-heavy",
		Severity: "advice",
		Title:    "the inputs that an output drives load it",
		Manual: `An output of impedance ZS into inputs of ZL together loses 20 log10(ZL / (ZS + ZL))
decibels (the voltage divider; Ballou, Handbook for Sound Engineers): 0.8 dB where
the load is ten times the source, 6 dB where both are the same. Inputs on one piece
of metal, by a tap or a mult, count in parallel. Said from 2 dB on; then distortion
and the response suffer as well. Put a line amplifier between, or share the signal
through a matrix of amplifiers. Gear whose level is given into its matched load
(600 ohm into 600 ohm) can be described with source: 0 ohm.`,
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
	studio:  func(v *view) []found { return loadsHeavy(v.joinedAtRest()) },
	session: func(v *sessionView) []found { return loadsHeavy(v.sharedAnew()) },
}

// sharedAnew are all that the session asks of outputs that it takes somewhere
// new: what they drive at rest counts with it.
func (v *sessionView) sharedAnew() []meeting {
	anew := map[name.Point]bool{}
	for _, m := range v.joinedAsked() {
		anew[m.source.Point] = true
	}
	return slices.DeleteFunc(v.wanted(), func(m meeting) bool { return !anew[m.source.Point] || !v.metal(m) })
}

const heavyLoss = 2 // dB: common practice, no published source

// Loading is how many decibels an output of impedance source loses into a load,
// 0 or more: 20 log10((ZS + ZL) / ZL), the voltage divider (Ballou, Handbook for
// Sound Engineers).
func Loading(source, load measure.Impedance) float64 {
	return 20 * math.Log10(float64(source+load)/float64(load))
}

// loaded is an output with the inputs of its kind that it drives.
type loaded struct {
	source       studio.Port
	key          string
	destinations []name.Point
	admittance   float64 // siemens, of all inputs together
}

func (l loaded) load() measure.Impedance { return measure.Impedance(math.Round(1 / l.admittance)) }

func loadsHeavy(all []meeting) []found {
	var b batches
	for _, l := range loads(all) {
		if loss := Loading(l.source.Line.Source, l.load()); loss >= heavyLoss {
			words := fmt.Sprintf("(%s) into %s: %.1f dB", l.source.Line.Source, l.load(), loss)
			for _, d := range l.destinations {
				b.add(l.key, words, l.source.Point, d)
			}
		}
	}
	var out []found
	for _, line := range b {
		out = append(out, found{
			key:     line.key,
			message: fmt.Sprintf("%s %s are lost at %s", unique(line.points), line.words, unique(line.others)),
			hint:    "put a line amplifier between, or share the signal through a matrix of amplifiers",
		})
	}
	return out
}

// loads are the outputs of some meetings. Headphones and loudspeakers are meant
// to load their source (IEC 61938 feeds headphones from 120 ohm), and of kinds
// that differ another rule speaks.
func loads(all []meeting) []*loaded {
	var outputs []*loaded
	at := map[name.Point]*loaded{}
	for _, m := range all {
		from, to := m.source.Line, m.destination.Line
		if from.Kind != to.Kind || from.Kind == studio.HeadphoneLevel || from.Kind == studio.LoudspeakerLevel || to.Load <= 0 {
			continue
		}
		l := at[m.source.Point]
		if l == nil {
			l = &loaded{source: m.source, key: m.key}
			at[m.source.Point] = l
			outputs = append(outputs, l)
		}
		l.destinations = append(l.destinations, m.destination.Point)
		l.admittance += 1 / float64(to.Load)
	}
	return outputs
}
