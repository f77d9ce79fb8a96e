package check

import (
	"slices"

	"bayhand/model/level"
	"bayhand/model/name"
	"bayhand/model/phrase"
)

var stageUnsaid = arriving(Rule{
	Code:     "stage-unsaid",
	Severity: "advice",
	Title:    "a balanced output meets unbalanced metal, and of which kind it is nobody said",
	Manual: `What a grounded cold leg does, and what to do with it, depends on how the output
stands behind its legs: an active one loses 6.02 dB and works into a short, so that
the leg is left open; one that floats loses nothing, and gives nothing with the leg
open; a cross-coupled one clips earlier and wants the leg grounded at its own end. The
manual of the gear says of which kind it is. Write
` + "`balanced: active`, `transformer`, `cross-coupled` or `impedance`" + ` at the port.`,
	Bad: Example{Studio: `studio: Of which kind?
gear:
  desk: {outputs: {aux1: pro-line}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
wiring:
  - {from: desk/aux1, to: echo/in1, cold: open}
`},
	Good: Example{Studio: `studio: Of which kind is said
gear:
  desk: {outputs: {aux1: {line: pro-line, balanced: impedance}}}
  echo: {inputs: {in1: {line: pro-line, balanced: false}}}
wiring:
  - desk/aux1 -> echo/in1
`},
}, stagesUnsaid)

// stagesUnsaid is one finding for each piece of gear: what is to be done is done
// at its ports. Where a rule about the levels, the lost leg or a two-pole cord
// speaks, that is enough.
func stagesUnsaid(all []arrival) []violation {
	var owners []string
	points := map[string][]name.Point{}
	losses := map[string]string{}
	key := map[string]string{}
	for _, a := range all {
		byCord := slices.ContainsFunc(a.Cold, func(g level.Ground) bool { return g.By == level.ByCord })
		if !a.Undecided() || !a.signal() || a.levelsDiffer() || a.loses() || byCord {
			continue
		}
		owner := a.Source.Point.Owner
		if points[owner] == nil {
			owners, key[owner] = append(owners, owner), a.key
		}
		if !slices.Contains(points[owner], a.Source.Point) {
			points[owner] = append(points[owner], a.Source.Point)
		}
		losses[owner] = phrase.Put("{loss} at {point}", "loss", lost(a.Loss), "point", a.Destination.Point.String())
	}
	slices.Sort(owners)
	var out []violation
	for _, owner := range owners {
		p := points[owner]
		out = append(out, violation{
			key: key[owner],
			message: phrase.Count(len(p), "{outputs} is balanced and meets unbalanced metal, and of which kind it is nobody said: {losses}",
				"{outputs} are balanced and meet unbalanced metal, and of which kind they are nobody said: {losses}", "outputs", unique(p), "losses", losses[owner]),
			hint: "write balanced: active, transformer, cross-coupled or impedance at the port, as the manual of the gear says",
		})
	}
	return out
}

// lost is a range of losses as one would say it.
func lost(r level.Range) string {
	if r.High >= -nothing {
		return phrase.Put("{loss} dB or all of it are lost", "loss", tenth(r.Low))
	}
	return phrase.Put("{loss} are lost", "loss", amount(r))
}
