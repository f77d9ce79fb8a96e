package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/studio"
)

var stereoApart = rule{
	Rule: Rule{
		Code:     "stereo-apart",
		Severity: "advice",
		Title:    "left and right of one piece of gear are on pairs far apart",
		Manual: `Two outputs, or two inputs, that are the only ones of their name are mostly left and
right. On columns that are not side by side they are plugged the wrong way round
sooner or later, and a ganged pair of cords does not reach. Wire them to neighbours.`,
		Bad: Example{Studio: `studio: Left here, right there
gear:
  synth: {outputs: {out1-2: home-line}}
bays:
  main: {pairs: 8, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - synth/out2 -> main/t8
`},
		Good: Example{Studio: `studio: Left and right
gear:
  synth: {outputs: {out1-2: home-line}}
bays:
  main: {pairs: 8, modes: isolated}
wiring:
  - synth/out1-2 -> main/t1-2
`},
	},
	studio: stereosApart,
}

func stereosApart(v *view) []violation {
	var all []violation
	for _, g := range v.studio.Gear {
		if g.Channels > 0 {
			continue // channels may be used one by one
		}
		for _, p := range twos(g) {
			left, right := v.jacks(p[0]), v.jacks(p[1])
			if len(left) != 1 || len(right) != 1 || neighbours(left[0], right[0]) {
				continue
			}
			all = append(all, violation{
				key:     v.keyOf([]name.Point{p[1]}),
				message: fmt.Sprintf("%s is on %s and %s on %s, far apart for left and right", p[0], left[0], p[1], right[0]),
				hint:    "wire them to columns side by side",
			})
		}
	}
	return all
}

// twos are the ports of gear that come in pairs: numbers 1 and 2 of a name that
// has no others.
func twos(g studio.Gear) [][2]name.Point {
	count := map[string]int{}
	for _, p := range g.Ports {
		if p.Point.Part == name.Whole {
			count[p.Point.Stem]++
		}
	}
	var all [][2]name.Point
	for _, p := range g.Ports {
		if p.Point.Part == name.Whole && p.Point.Number == 1 && count[p.Point.Stem] == 2 && p.Line.Kind == studio.LineLevel {
			all = append(all, [2]name.Point{p.Point, name.At(g.Name, p.Point.Stem, 2)})
		}
	}
	return all
}

// neighbours says whether two jacks are on columns side by side, or on one.
func neighbours(a, b name.Point) bool {
	between := a.Number - b.Number
	return a.Owner == b.Owner && between >= -1 && between <= 1
}
