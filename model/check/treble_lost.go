package check

import (
	"fmt"

	"bayhand/model/level"
	"bayhand/model/measure"
	"bayhand/model/phrase"
)

var trebleLost = arriving(Rule{
	Code:     "treble-lost",
	Severity: "advice",
	Title:    "cables take from the treble",
	Manual: `The capacitance of a cable and the impedance of the output before it are a low pass.
An output of 100 ohm does not mind a hundred metres; 10 kohm mind ten. Said from
1 dB at 20 kHz, against 1 kHz; a warning from 3 dB. Where a length is not known
nothing is said. Take a shorter cable or one of lower capacitance, or put a line
amplifier or a DI box at the source.`,
	Bad: Example{Studio: `studio: An instrument a long way off
gear:
  bass: {outputs: {out1: instrument}}
  voice: {inputs: {di1: instrument}}
wiring:
  - {from: bass/out1, to: voice/di1, kind: coax, length: 7 m}
`},
	Good: Example{Studio: `studio: An instrument nearby
gear:
  bass: {outputs: {out1: instrument}}
  voice: {inputs: {di1: instrument}}
wiring:
  - {from: bass/out1, to: voice/di1, kind: coax, length: 3 m}
`},
}, treblesLost)

func treblesLost(all []arrival) []violation {
	dull := each(all, func(a arrival) bool { return a.Dull() && a.Treble.High <= -level.TrebleAdvice })
	var out []violation
	for _, severity := range []string{"advice", "warning"} {
		some := each(dull, func(a arrival) bool { return (a.Treble.High <= -level.TrebleWarning) == (severity == "warning") })
		words := func(a arrival) string {
			return fmt.Sprintf("%s of cable take %s at 20 kHz", metres(*a.Length, a.Estimated), amount(*a.Treble))
		}
		out = append(out, told(some, words, func(b *batch) violation {
			return violation{
				message:  fmt.Sprintf("from %s to %s %s", unique(b.points), unique(b.others), b.words),
				hint:     "take a shorter cable or one of lower capacitance, or put a line amplifier or a DI box at the source",
				severity: severity,
			}
		})...)
	}
	return out
}

// metres is a length of cable as one would say it.
func metres(l measure.Length, estimated bool) string {
	text := l.String()
	if estimated {
		return phrase.Put("about {length}", "length", text)
	}
	return text
}
