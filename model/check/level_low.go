package check

import (
	"fmt"

	"bayhand/model/phrase"
)

var levelLow = arriving(Rule{
	Code:     "level-low",
	Severity: "advice",
	Title:    "much less arrives than a destination works at",
	Manual: `What is lost in a heavy load, or with a leg that is not carried, comes off the level
that a source works at. Said where 10 dB or more are missing (common practice, no
published source) and the working levels themselves do not differ: of those another
rule speaks. ` + "`bayhand levels --at POINT`" + ` says where they go.`,
	Bad: Example{Studio: `studio: A cold leg that is not carried
gear:
  player: {outputs: {out1: {line: pro-line, balanced: transformer}}}
  recorder: {inputs: {in1: {line: pro-line, balanced: active}}}
wiring:
  - {from: player/out1, to: recorder/in1, cold: open}
`},
	Good: Example{Studio: `studio: Both legs carried
gear:
  player: {outputs: {out1: {line: pro-line, balanced: transformer}}}
  recorder: {inputs: {in1: {line: pro-line, balanced: active}}}
wiring:
  - {from: player/out1, to: recorder/in1, cold: carried}
`},
}, func(all []arrival) []violation { return levelsOff(all, -1) })

const (
	// farOff is from how many dB off a level is said to be low or hot, and nothing
	// from where on one would say that nothing arrives: common practice, no
	// published source.
	farOff  = 10
	nothing = -60
)

// levelsOff finds what is far under (-1) or over (1) what is wanted, at both ends
// of what is known.
func levelsOff(all []arrival, sense float64) []violation {
	words := func(a arrival) string {
		low, high := sense*a.Over.Low, sense*a.Over.High
		switch {
		case !a.signal() || a.levelsDiffer() || min(low, high) < farOff:
			return ""
		case sense < 0 && a.Loss.Low >= -nothing:
			return "nothing"
		case sense < 0:
			return phrase.Put("{amount} less", "amount", amount(a.Over))
		}
		return phrase.Put("{amount} more", "amount", amount(a.Over))
	}
	return told(all, words, func(b *batch) violation {
		f := violation{
			message: fmt.Sprintf("of %s %s arrives at %s than it works at", unique(b.points), b.words, unique(b.others)),
			hint:    "turn it down before the destination, or describe the ports with the levels that they are set to",
		}
		if sense < 0 {
			f.hint = "look at what is lost on the way, and make up for the rest at the destination"
		}
		if b.words == "nothing" {
			f.message = fmt.Sprintf("of %s nothing to speak of arrives at %s", unique(b.points), unique(b.others))
			f.hint = "an output that floats needs both legs: carry the cold one, or join it with the shield at the destination"
		}
		return f
	})
}
