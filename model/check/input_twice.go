package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var inputTwice = rule{
	Rule: Rule{
		Code:     "input-twice",
		Severity: "warning",
		Title:    "an input is wired to two places",
		Manual: `An input wired from two jacks joins them: whatever is plugged into both at once is
joined output to output. Wire it to one of them.`,
		Bad: Example{Studio: `studio: An input on two jacks
gear:
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - main/b1 -> recorder/in1
  - main/b2 -> recorder/in1
`},
		Good: Example{Studio: `studio: An input on one jack
gear:
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - main/b1 -> recorder/in1
`},
	},
	studio: inputsTwice,
}

func inputsTwice(v *view) []violation {
	var all []violation
	check := func(p name.Point) {
		if wires := v.wired(p); len(wires) > 1 {
			all = append(all, violation{
				key:     wires[len(wires)-1].key,
				message: fmt.Sprintf("the input %s is wired to %d places: %s", p, len(wires), ends(wires)),
				hint:    "wire it to one of them; the other jack is joined with it otherwise",
			})
		}
	}
	for _, g := range v.studio.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Input {
				check(p.Point)
			}
		}
	}
	for _, m := range v.studio.Matrices {
		for n := 1; n <= m.Inputs; n++ {
			check(m.In(n))
		}
	}
	return all
}
