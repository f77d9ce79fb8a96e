package check

// unknownName is found by the reader: such a file is not looked at further.
var unknownName = Rule{
	Code:     "unknown-name",
	Severity: "error",
	Title:    "a line names what the studio does not have, or has no more",
	Manual: `Gear goes, and sessions stay: a line that names a source or a destination of gear
that was sold, or that is called otherwise now, is not possible. The reader says what
comes nearest. Write what is there now, or substitute: what stands in for a unit that
is away, or take the line out.`,
	Bad: Example{Studio: askedStudio, Session: `session: With the old synthesiser
connect:
  - synt/out1 -> recorder/in1
  - synth/out4 -> recorder/in2
`},
	Good: Example{Studio: askedStudio, Session: `session: With the new one
connect:
  - synth/out1-2 -> recorder/in1-2
`},
}
