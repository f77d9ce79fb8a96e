package check

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

var twoPoleGrounds = rule{
	Rule: Rule{
		Code:     "two-pole-grounds",
		Severity: "warning",
		Title:    "a TS cord grounds the cold leg of a balanced output",
		Manual: `A cord without a ring grounds the cold leg of everything that it is joined with. An
output whose legs are both driven gives half its voltage then, 6.02 dB less, unless
it floats, and its cold stage works into a short. Looked for in the rest patch and in
the patch that a session keeps. Use a TRS cord; keep TS cords for unbalanced gear.`,
		Bad: Example{Studio: twoPoleStudio + `rest: {cords: [{ends: [main/t1, main/b2], poles: 2}]}
`},
		Good: Example{Studio: twoPoleStudio + `rest: {cords: [{ends: [main/t1, main/b2], poles: 3}]}
`},
	},
	studio:  onRest(twoPolesGround),
	session: onKept(twoPolesGround),
}

const twoPoleStudio = `studio: Two kinds of cord
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - desk/mix1 -> main/t1
  - main/b2 -> recorder/in1
`

func twoPolesGround(v *view, p patch.Patch, key string) []violation {
	state := v.room.Hear(p)
	var all []violation
	for i, c := range p.Cords {
		if !v.groundsLines(state, c) {
			continue
		}
		outputs := balancedAt(v, state, c, studio.Output)
		if _, tapped := v.tapped(state, c); len(outputs) == 0 || tapped {
			continue // nothing driven, or said by its own rule
		}
		all = append(all, violation{
			key: cordKey(key, i),
			message: fmt.Sprintf("the TS cord in %s grounds the cold leg of %s, which costs an output that does not float %.1f dB",
				folded(c.Ends()), folded(outputs), legLost),
			hint: "use a TRS cord",
		})
	}
	return all
}

// groundsLines says whether a cord has two poles and is on no line with phantom
// power, of which another rule speaks.
func (v *view) groundsLines(state *heard.State, c patch.Cord) bool {
	if c.Poles != 2 {
		return false
	}
	_, phantom := v.phantomAt(state.Joined, c.Ends())
	return !phantom
}

// balancedAt are the balanced inputs of gear that a cord is joined with, or the
// balanced outputs of a kind that nobody said.
func balancedAt(v *view, state *heard.State, c patch.Cord, d studio.Direction) []name.Point {
	var ports []name.Point
	for _, end := range c.Ends() {
		for _, p := range state.Net(end) {
			port, ok := v.ports[p]
			said := port.Line.Stage != studio.StageUnsaid && d == studio.Output // other rules say what it does there
			if ok && port.Direction == d && port.Line.Balanced && !said && !slices.Contains(ports, p) {
				ports = append(ports, p)
			}
		}
	}
	slices.SortFunc(ports, name.Point.Compare)
	return ports
}
