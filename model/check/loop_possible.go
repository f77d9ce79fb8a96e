package check

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var loopPossible = rule{
	Rule: Rule{
		Code:     "loop-possible",
		Severity: "warning",
		Title:    "a loop closes as soon as a desk or a switch lets it through",
		Manual: `As a loop, but through something that a desk or a switch can pass and may not be
passing now (can-pass:). Leave that fader or switch down in this session, or patch
another way.`,
		Bad: Example{Studio: `studio: A recorder that can monitor its input
gear:
  recorder: {inputs: {in1: pro-line}, outputs: {out1: pro-line}, can-pass: [in1 -> out1]}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - recorder/out1 -> main/t1
  - main/b1 -> recorder/in1
`},
		Good: Example{Studio: `studio: A recorder on an isolated pair
gear:
  recorder: {inputs: {in1: pro-line}, outputs: {out1: pro-line}, can-pass: [in1 -> out1]}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - recorder/out1 -> main/t1
  - main/b1 -> recorder/in1
`},
	},
	studio:  loopsPossibleAtRest,
	session: loopsPossible,
}

func loopsPossibleAtRest(v *view) []violation {
	sure := v.rest.Loops(nil, nil)
	var all []violation
	for _, l := range v.rest.Loops(v.canPass(), nil) {
		if slices.ContainsFunc(sure, func(s heard.Loop) bool { return slices.Equal(s.Through, l.Through) }) {
			continue
		}
		all = append(all, violation{
			key:     v.keyOf(l.Through[:1]),
			message: phrase.Put("in the rest patch a signal could go round through {points}", "points", round(l.Through)),
			hint:    "keep that fader or switch down, or make the pair isolated that closes it",
		})
	}
	return all
}

// canPass are all ways that gear could let through.
func (v *view) canPass() []studio.Pass {
	var all []studio.Pass
	for _, g := range v.studio.Gear {
		all = append(all, g.CanPass...)
	}
	return all
}

func loopsPossible(v *sessionView) []violation {
	own := v.flow()
	possible := own.clone()
	for _, p := range v.canPass() {
		possible.add(p.In, p.Out, "")
	}
	var all []violation
	for _, l := range possible.rounds() {
		if own.has(l) {
			continue
		}
		all = append(all, violation{
			key:     v.keyOfWant(l),
			message: phrase.Put("in this session a signal could go round through {points}", "points", round(l)),
			hint:    fmt.Sprintf("keep that fader or switch down, or write allow: [loop %s] if it is meant", l[0]),
		})
	}
	return all
}
