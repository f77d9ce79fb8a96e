package check

import (
	"fmt"
	"math"

	"bayhand/model/studio"
)

var balanceLost = rule{
	Rule: Rule{
		Code:     "balance-lost",
		Severity: "advice",
		Title:    "a balanced output drives an unbalanced input",
		Manual: `The unbalanced input grounds the cold leg of the output (pin 3 of an XLR, the ring of
a three-pole plug). An output whose legs are both driven and do not float then gives
half its voltage, 6.02 dB less (Ballou, Handbook for Sound Engineers), and its cold
stage works into a short; a floating one, such as a transformer, gives all of it. If
the output needs it, leave the cold leg open at the output's end, and describe the
port as it is connected: balanced: false. The other way round nothing is lost but the
rejection of hum: join the cold leg with the shield at the unbalanced end, not at the
bay.`,
		Bad: Example{Studio: `studio: Balanced into unbalanced
gear:
  desk: {outputs: {aux1: pro-line}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/aux1 -> main/t1
  - main/b1 -> echo/in1
`},
		Good: Example{Studio: `studio: Its cold leg left open
gear:
  desk: {outputs: {aux1: {line: pro-line, balanced: false}}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/aux1 -> main/t1
  - main/b1 -> echo/in1
`},
	},
	studio:  func(v *view) []found { return balancesLost(v.joinedAtRest()) },
	session: func(v *sessionView) []found { return balancesLost(v.joinedAsked()) },
}

// legLost is what a balanced output that does not float loses when one leg is
// grounded: half its voltage (Ballou, Handbook for Sound Engineers).
var legLost = -20 * math.Log10(0.5)

// balancesLost says nothing where the levels differ as well: the box that mends
// that mends this.
func balancesLost(all []meeting) []found {
	var lost []meeting
	for _, m := range all {
		from, to := m.source.Line, m.destination.Line
		if from.Kind == studio.LineLevel && to.Kind == studio.LineLevel && from.Balanced && !to.Balanced && math.Abs(m.over()) < levelApart {
			lost = append(lost, m)
		}
	}
	var out []found
	for _, g := range grouped(lost) {
		n := len(g.sources)
		out = append(out, found{
			key: g.key,
			message: fmt.Sprintf("%s %s balanced and %s %s not: the cold leg is grounded there, which costs an output that does not float %.1f dB",
				unique(g.sources), plural(n, "is", "are"), unique(g.destinations), plural(n, "is", "are"), legLost),
			hint: "leave the cold leg open at the output's end if it must not be grounded, and write balanced: false there",
		})
	}
	return out
}
