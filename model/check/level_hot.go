package check

var levelHot = arriving(Rule{
	Code:     "level-hot",
	Severity: "advice",
	Title:    "much more arrives than a destination works at",
	Manual: `An output whose level is given into its matched load gives 6 dB more into an input
of high impedance, and there is that much less headroom behind it. Said
where 10 dB or more are too much (common practice, no published source) and the
working levels themselves do not differ: of those another rule speaks. Turn down
before anything is listened to.`,
	Bad: Example{Studio: `studio: A level given into a matched load
lines:
  old-line: {kind: line, level: +8 dBu, max: +24 dBu, source: 600 ohm, load: 10 kohm, balanced: true, level-into: 600 ohm}
gear:
  player: {outputs: {out1: old-line}}
  recorder: {inputs: {in1: {line: pro-line, level: +3 dBu}}}
wiring:
  - player/out1 -> recorder/in1
`},
	Good: Example{Studio: `studio: The same, turned down
lines:
  old-line: {kind: line, level: 0 dBu, max: +24 dBu, source: 600 ohm, load: 10 kohm, balanced: true, level-into: 600 ohm}
gear:
  player: {outputs: {out1: old-line}}
  recorder: {inputs: {in1: {line: pro-line, level: +3 dBu}}}
wiring:
  - player/out1 -> recorder/in1
`},
}, func(all []arrival) []violation { return levelsOff(all, 1) })
