package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var normalInputs = rule{
	Rule: Rule{
		Code:     "normal-joins-inputs",
		Severity: "warning",
		Title:    "a half-normal joins the inputs on both jacks of its pair",
		Manual: `With an input on each jack of a half-normal, a cord in the jack that taps feeds both
of them, and nothing shows it. Make the pair isolated, or put a source on one side.`,
		Bad: Example{Studio: `studio: Inputs on both jacks
gear:
  recorder: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - main/t1 -> recorder/in1
  - main/b1 -> recorder/in2
`},
		Good: Example{Studio: `studio: Inputs on an isolated pair
gear:
  recorder: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - main/t1 -> recorder/in1
  - main/b1 -> recorder/in2
`},
	},
	studio: normalsOfInputs,
}

func normalsOfInputs(v *view) []violation {
	var all []violation
	for _, bay := range v.studio.Bays {
		for n := 1; n <= bay.Pairs(); n++ {
			taps := bay.TopJack(n)
			if v.breaks(taps) {
				taps = bay.BottomJack(n)
			}
			a, b := v.destinationAt(taps), v.destinationAt(studio.OtherJack(taps))
			if !v.breaks(studio.OtherJack(taps)) || v.breaks(taps) || a.IsZero() || b.IsZero() || shared(v, taps) || shared(v, studio.OtherJack(taps)) {
				continue
			}
			all = append(all, violation{
				key:     v.wired(taps)[0].key,
				message: fmt.Sprintf("pair %d of %s is %s and has an input on each jack: a cord in %s feeds %s and %s", n, bay.Name, v.mode(taps), taps, a, b),
				hint:    fmt.Sprintf("make pair %d isolated, or wire a source to one of its jacks", n),
			})
		}
	}
	return all
}

// shared says whether a source is at the jack as well.
func shared(v *view, jack name.Point) bool {
	source, _ := v.sourceAt(jack)
	return !source.IsZero()
}
