package check

import "bayhand/model/strip"

var stripAlike = rule{
	Rule: Rule{
		Code:     "strip-alike",
		Severity: "advice",
		Title:    "two jacks of a bay would read the same on their strips",
		Manual: `Two pieces of gear have one label, or were cut to one text. A number tells them apart
on the strip, and nobody knows which is which. That is looked for at bays that have
strips: in the file.`,
		Bad: Example{Studio: `studio: Alike
gear: {x: {label: EQ, channels: 1, line: pro-line}, y: {label: EQ, channels: 1, line: pro-line}}
bays: {main: {pairs: 4, jack: bantam, modes: isolated, strips: {above: 8 mm}}}
wiring: [x/out1 -> main/t1, main/b2 -> x/in1, y/out1 -> main/t3, main/b4 -> y/in1]
`},
		Good: Example{Studio: `studio: Alike
gear: {x: {label: EQ, channels: 1, line: pro-line}, y: {label: EQ 2, channels: 1, line: pro-line}}
bays: {main: {pairs: 4, jack: bantam, modes: isolated, strips: {above: 8 mm}}}
wiring: [x/out1 -> main/t1, main/b2 -> x/in1, y/out1 -> main/t3, main/b4 -> y/in1]
`},
	},
	studio: onStrips(func(t strip.Text) bool { return t.Alike }),
}
