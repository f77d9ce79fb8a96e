package check

import (
	"fmt"
	"math"
	"slices"

	"bayhand/model/level"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var balanceLost = rule{
	Rule: Rule{
		Code:     "balance-lost",
		Severity: "advice",
		Title:    "a balanced output drives an unbalanced input",
		Manual: `The unbalanced input grounds the cold leg of the output (pin 3 of an XLR, the ring of
a TRS plug). An output whose legs are both driven and do not float then gives
half its voltage, 6.02 dB less, and its cold stage works into a short; a floating one,
such as a transformer, gives all of it. What to do depends on the kind, so say it.
` + "`balanced: active`" + ` wants ` + "`cold: open`" + ` on the wire to the unbalanced input: balanced gear
that is patched to the output keeps both legs then. ` + "`cross-coupled`" + ` wants
` + "`cold: grounded`" + ` on the output's own wire. ` + "`transformer`" + ` and ` + "`impedance`" + ` lose nothing;
a transformer gives nothing with its cold leg open. The other way round, from an
unbalanced output into a balanced input, no level is lost. Hum is still rejected where
the cold core is joined with the shield at the unbalanced end, and not at the bay.`,
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
  desk: {outputs: {aux1: {line: pro-line, balanced: active}}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - desk/aux1 -> main/t1
  - {from: main/b1, to: echo/in1, cold: open}
`},
	},
	studio:  func(v *view) []violation { return balancesLost(v.arriveAtRest()) },
	session: func(v *sessionView) []violation { return balancesLost(v.arriveAsked()) },
}

// legLost is what an output that drives both legs loses when one is grounded:
// half its voltage (Ballou, Handbook for Sound Engineers).
var legLost = -20 * math.Log10(0.5)

// loses says whether a balanced line output of a kind that nobody said has its
// cold leg grounded by an unbalanced input. Where the kind is known, other rules
// say what it does; where the levels differ as well, the box that mends that mends
// this.
func (a arrival) loses() bool {
	l := a.Source.Line
	byInput := slices.ContainsFunc(a.Cold, func(g level.Ground) bool { return g.By == level.ByInput && g.At == a.Destination.Point })
	return byInput && l.Stage == studio.StageUnsaid && l.Kind == studio.LineLevel && a.Destination.Line.Kind == studio.LineLevel && !a.levelsDiffer()
}

func balancesLost(all []arrival) []violation {
	var lost []meeting
	for _, a := range each(all, arrival.loses) {
		lost = append(lost, meeting{a.Source, a.Destination, a.key})
	}
	var out []violation
	for _, g := range grouped(lost, nil) {
		n := len(g.sources)
		out = append(out, violation{
			key: g.key,
			message: phrase.Count(n, "{sources} is balanced and {destinations} is not: the cold leg is grounded there, which costs an output that does not float {loss} dB",
				"{sources} are balanced and {destinations} are not: the cold leg is grounded there, which costs an output that does not float {loss} dB",
				"sources", unique(g.sources), "destinations", unique(g.destinations), "loss", fmt.Sprintf("%.1f", legLost)),
			hint: "say of which kind the output is: an active one wants its cold leg open in the cable to the input, and one that floats gives nothing then",
		})
	}
	return out
}
