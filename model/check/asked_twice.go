package check

// askedTwice is found by the reader: such a session is not looked at further.
var askedTwice = Rule{
	Code:     "asked-twice",
	Severity: "error",
	Title:    "a destination is asked for twice",
	Manual: `A destination hears one source, or it is a mixer: asked to hear two, a passive bay
could only join outputs. The reader refuses it. Take one of the lines out, or bring
the second source in at another input and mix there.`,
	Bad: Example{Studio: askedStudio, Session: `session: Two at once
connect:
  - synth/out1 -> recorder/in1
  - synth/out2 -> recorder/in1
`},
	Good: Example{Studio: askedStudio, Session: `session: Side by side
connect:
  - synth/out1 -> recorder/in1
  - synth/out2 -> recorder/in2
`},
}

const askedStudio = `studio: Two inputs
gear:
  synth: {outputs: {out1-2: pro-line}}
  recorder: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - synth/out1-2 -> main/t1-2
  - main/b1-2 -> recorder/in1-2
`
