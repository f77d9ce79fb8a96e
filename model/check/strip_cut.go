package check

import "bayhand/model/strip"

var stripCut = rule{
	Rule: Rule{
		Code:     "strip-cut",
		Severity: "advice",
		Title:    "a text had to be cut to fit its strip",
		Manual: `Of a text that is too long for its place on a strip letters were taken away. That is
looked for at bays that have strips: in the file. A short form of one's own reads
better.`,
		Bad: Example{Studio: `studio: Cut
gear: {x: {label: Transformer-coupled equaliser, channels: 1, line: pro-line}}
bays: {main: {pairs: 2, jack: bantam, modes: isolated, strips: {above: 8 mm}}}
wiring: [x/out1 -> main/t1, main/b2 -> x/in1]
`},
		Good: Example{Studio: `studio: Cut
gear: {x: {label: Transformer-coupled equaliser, short: EQ, channels: 1, line: pro-line}}
bays: {main: {pairs: 2, jack: bantam, modes: isolated, strips: {above: 8 mm}}}
wiring: [x/out1 -> main/t1, main/b2 -> x/in1]
`},
	},
	studio: onStrips(func(t strip.Text) bool { return t.Cut && !t.Alike }),
}
