package check

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var twoPoleTap = rule{
	Rule: Rule{
		Code:     "two-pole-tap",
		Severity: "warning",
		Title:    "a TS cord in a tap grounds the leg of what the normal feeds",
		Manual: `A tap leaves the normal closed, so a TS cord in it grounds the cold leg not
only for the gear at its other end but for what goes on listening by the normal: the
channel that nobody touched is 6.02 dB down, unless its source floats, and takes up hum.
Tap with a TRS cord, or through a transformer or a line amplifier.`,
		Bad: Example{Studio: tapStudio + `rest: {cords: [{ends: [main/t1, main/b2], poles: 2}]}
`},
		Good: Example{Studio: tapStudio + `rest: {cords: [{ends: [main/t1, main/b2], poles: 3}]}
`},
	},
	studio:  onRest(twoPolesTap),
	session: onKept(twoPolesTap),
}

const tapStudio = `studio: A tap for the cassette
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: pro-line}}
  cassette: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 2, modes: {1: half-normal, 2: isolated}}
wiring:
  - desk/mix1 -> main/t1
  - main/b1 -> recorder/in1
  - main/b2 -> cassette/in1
`

func twoPolesTap(v *view, p patch.Patch, key string) []violation {
	state := v.room.Hear(p)
	var all []violation
	for i, c := range p.Cords {
		if !v.groundsLines(state, c) {
			continue
		}
		t, ok := v.tapped(state, c)
		if !ok {
			continue
		}
		all = append(all, violation{
			key: cordKey(key, i),
			message: phrase.Put("the TS cord in {jacks} taps at {jack}, and grounds the cold leg of {inputs}, fed by the normal",
				"jacks", folded(c.Ends()), "jack", t.jack.String(), "inputs", folded(t.listeners)),
			hint: "tap with a TRS cord",
		})
	}
	return all
}

// tap is a jack whose normal holds though a cord is in it, and the balanced
// inputs that listen by that normal.
type tap struct {
	jack      name.Point
	listeners []name.Point
}

// tapped finds the tap of a cord that somebody listens behind.
func (v *view) tapped(state *heard.State, c patch.Cord) (tap, bool) {
	for _, end := range c.Ends() {
		if !state.NormalHolds(end.Owner, end.Number) {
			continue
		}
		t := tap{jack: end}
		for _, w := range v.wired(studio.OtherJack(end)) {
			p, ok := v.ports[w.far]
			if ok && p.Direction == studio.Input && p.Line.Balanced && !slices.Contains(t.listeners, p.Point) {
				t.listeners = append(t.listeners, p.Point)
			}
		}
		if len(t.listeners) > 0 {
			return t, true
		}
	}
	return tap{}, false
}
