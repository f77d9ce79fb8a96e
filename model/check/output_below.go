package check

import (
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

var outputBelow = rule{
	Rule: Rule{
		Code:     "output-below",
		Severity: "advice",
		Title:    "an output is on the bottom row of a bay whose outputs stand above",
		Manual: `Sources above, destinations below: a hand that knows the bay plugs without reading
the label. Said of single outputs below on a bay that keeps to that; not of modules
turned round on purpose (half-normal-top), nor of pairs that hold two outputs. Where a
half-normal makes it more than a matter of habit, source-breaks says so.`,
		Bad: Example{Studio: `studio: One output below
gear:
  desk: {outputs: {mix1-2: pro-line}}
  player: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 3, modes: isolated}
wiring:
  - desk/mix1-2 -> main/t1-2
  - player/out1 -> main/b3
`},
		Good: Example{Studio: `studio: All outputs above
gear:
  desk: {outputs: {mix1-2: pro-line}}
  player: {outputs: {out1: pro-line}}
bays:
  main: {pairs: 3, modes: isolated}
wiring:
  - desk/mix1-2 -> main/t1-2
  - player/out1 -> main/t3
`},
	},
	studio: outputsBelow,
}

func outputsBelow(v *view) []violation {
	var all []violation
	for _, bay := range v.studio.Bays {
		var b batches
		above, below := 0, 0
		for n := 1; n <= bay.Pairs(); n++ {
			top, _ := v.sourceAt(bay.TopJack(n))
			bottom, key := v.sourceAt(bay.BottomJack(n))
			if !top.IsZero() {
				above++
			}
			if bottom.IsZero() || v.studio.IsLineTo(bottom.Owner) { // a line arrives where its tie does
				continue
			}
			below++
			if top.IsZero() && !turnedRound(v, bay.BottomJack(n)) {
				b.add(key, "", bottom, bay.BottomJack(n))
			}
		}
		if above > below {
			all = append(all, standBelow(b)...)
		}
	}
	return all
}

// turnedRound says whether a source at the bottom is meant, or is said by its
// own rule.
func turnedRound(v *view, bottom name.Point) bool {
	switch v.mode(bottom) {
	case studio.HalfNormalTop:
		return true
	case studio.HalfNormal:
		return !v.destinationAt(studio.OtherJack(bottom)).IsZero()
	case studio.FullNormal, studio.Isolated, studio.Parallel, studio.ModeUnknown:
	}
	return false
}

func standBelow(b batches) []violation {
	var all []violation
	for _, line := range b {
		n := len(line.points)
		all = append(all, violation{
			key: line.key,
			message: phrase.Count(n, "{outputs} is on {jacks}, below, where this bay has its outputs above", "{outputs} are on {jacks}, below, where this bay has its outputs above",
				"outputs", folded(line.points), "jacks", folded(line.others)),
			hint: "wire it to the top row, as the others",
		})
	}
	return all
}
