package check

import (
	"fmt"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/studio"
)

var normalJoins = rule{
	Rule: Rule{
		Code:     "normal-joins-outputs",
		Severity: "error",
		Title:    "a normal joins the outputs on both jacks of a pair",
		Manual: `With an output on each jack of a pair, the normal joins the two whenever nothing
is plugged. Make the pair isolated, or wire an input to one of the jacks.`,
		Bad: Example{Studio: `studio: Outputs on both jacks
gear:
  synth: {outputs: {out1-2: home-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - synth/out1 -> main/t1
  - synth/out2 -> main/b1
`},
		Good: Example{Studio: `studio: Outputs on an isolated pair
gear:
  synth: {outputs: {out1-2: home-line}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - synth/out2 -> main/b1
`},
	},
	studio: normalsJoining,
}

func normalsJoining(v *view) []violation {
	var all []violation
	for _, c := range v.rest.Contentions() {
		if jack, ok := joiningPair(v, c); ok {
			all = append(all, violation{
				key:     v.cables[jack][0].key,
				message: fmt.Sprintf("pair %d of %s is %s and has an output on each jack: %s", jack.Number, jack.Owner, v.mode(jack), folded(c.Drivers)),
				hint:    fmt.Sprintf("make pair %d isolated, or wire an input to one of its jacks", jack.Number),
			})
		}
	}
	return all
}

func (v *view) normalJoins(c heard.Contention) bool {
	_, ok := joiningPair(v, c)
	return ok
}

// joiningPair is the bottom jack of the pair whose two jacks the outputs are
// wired to, if a normal that holds is what joins them.
func joiningPair(v *view, c heard.Contention) (name.Point, bool) {
	if len(c.Drivers) != 2 {
		return name.Point{}, false
	}
	for _, jack := range v.jacks(c.Drivers[0]) {
		for _, other := range v.jacks(c.Drivers[1]) {
			if other == studio.OtherJack(jack) && v.rest.NormalHolds(jack.Owner, jack.Number) {
				if jack.Stem > other.Stem {
					jack, other = other, jack
				}
				return jack, true // b sorts before t
			}
		}
	}
	return name.Point{}, false
}
