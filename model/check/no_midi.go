package check

// noMIDI is found by the reader: such a session is not looked at further.
var noMIDI = Rule{
	Code:     "no-midi",
	Severity: "error",
	Title:    "a session has a program for gear without MIDI",
	Manual: `A program is recalled by a MIDI Program Change, so the gear needs a port and a channel
under midi: in the studio. Where it has none, write the program down under settings:,
and it stands on the sheet for the hand that turns the knob.`,
	Bad: Example{Studio: noMIDIStudio, Session: `session: Recalled
programs: {plate: 7}
`},
	Good: Example{Studio: noMIDIStudio, Session: `session: On the sheet
settings: {plate: {program: "7"}}
`},
}

const noMIDIStudio = `studio: A plate
gear:
  plate: {inputs: {in1: home-line}, outputs: {out1: home-line}, passes: [in1 -> out1]}
`
