package check

import (
	"fmt"

	"bayhand/model/session"
	"bayhand/model/text"
)

// programTwice is looked for among several sessions, by Sessions.
var programTwice = Rule{
	Code:     "program-twice",
	Severity: "error",
	Title:    "two sessions are recalled by the same MIDI program",
	Manual: `A Program Change on the control port recalls the session with that program:. With
two of them nobody can know which is meant. Give each its own number, 0 to 127 as on
the wire, or a bank: of its own.`,
	Bad:  Example{Studio: programStudio, Session: "session: One\nprogram: 7\n", Other: "session: Two\nprogram: 7\n"},
	Good: Example{Studio: programStudio, Session: "session: One\nprogram: 7\n", Other: "session: Two\nprogram: 8\n"},
}

const programStudio = `studio: A plate
gear:
  plate: {inputs: {in1: home-line}, outputs: {out1: home-line}, passes: [in1 -> out1]}
`

// Filed is a session and the places of its file.
type Filed struct {
	Session *session.Session
	Places  text.Places
}

// Sessions finds what is wrong among several sessions, sorted by place. What is
// wrong within one of them is for Session to say.
func Sessions(all []Filed) []Finding {
	type request struct{ bank, program int }
	first := map[request]*session.Session{}
	var findings []Finding
	for _, f := range all {
		s := f.Session
		if s.Program < 0 {
			continue
		}
		wanted := request{s.Bank, s.Program}
		other, taken := first[wanted]
		if !taken {
			first[wanted] = s
			continue
		}
		place, _ := f.Places.Of("program")
		findings = append(findings, Finding{
			Code: programTwice.Code, Severity: programTwice.Severity, Place: place,
			Message: fmt.Sprintf("program %d recalls %s and %s", s.Program, other.Name, s.Name),
			Hint:    "give each session a program of its own",
		})
	}
	return sorted(findings)
}
