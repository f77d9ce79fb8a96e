package check

import "fmt"

var clipsEarly = arriving(Rule{
	Code:     "clips-early",
	Severity: "warning",
	Title:    "a destination clips with less than 10 dB to go",
	Manual: `Between the working level and clipping a line wants 10 dB or more for the peaks of
music (common practice, no published source). Said where a destination, a matrix of
amplifiers on the way, or the one leg of a cross-coupled output whose cold leg is
grounded, clips before the source's own headroom is used, and the working levels
themselves do not differ: of those another rule speaks. Turn down at the source, or
put a level box between.`,
	Bad: Example{Studio: `studio: A recorder that clips early
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: {line: pro-line, max: +12 dBu}}}
wiring:
  - desk/mix1 -> recorder/in1
`},
	Good: Example{Studio: `studio: A recorder with headroom
gear:
  desk: {outputs: {mix1: pro-line}}
  recorder: {inputs: {in1: {line: pro-line, max: +20 dBu}}}
wiring:
  - desk/mix1 -> recorder/in1
`},
}, clipEarly)

func clipEarly(all []arrival) []violation {
	words := func(a arrival) string {
		if !a.signal() || !a.Early() || a.levelsDiffer() {
			return ""
		}
		where := "it"
		switch a.Clips {
		case a.Source.Point:
			where = "the source, with its cold leg grounded,"
		case a.Destination.Point:
		default:
			where = a.Clips.String()
		}
		return fmt.Sprintf("%s clips %s above the working level", where, amount(a.Headroom))
	}
	return told(all, words, func(b *batch) violation {
		return violation{
			message: fmt.Sprintf("%s into %s: %s", unique(b.points), unique(b.others), b.words),
			hint:    "turn down at the source, or put a level box between",
		}
	})
}
