package check

import (
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// notGiven is looked for by whoever plans, and told by NotGiven.
var notGiven = Rule{
	Code:     "not-given",
	Severity: "error",
	Title:    "a session is not possible in this studio",
	Manual: `No patch of this studio sets the session up from the rest patch: a tie is missing, a
jack is taken by another connection, or two connections exclude each other. The
finding names the connection and what stands in its way. Wire another tie, go by
another way, or leave one of the connections out.`,
	Bad: Example{
		Studio: notGivenStudio,
		Session: `session: Without a jack
connect:
  - synth/out1 -> recorder/in2
`,
	},
	Good: Example{
		Studio: notGivenStudio,
		Session: `session: With a jack
connect:
  - synth/out1 -> recorder/in1
`,
	},
}

const notGivenStudio = `studio: A recorder with one jack
gear:
  synth: {outputs: {out1: home-line}}
  radio: {outputs: {out1: home-line}}
  recorder: {inputs: {in1-2: home-line}}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - synth/out1 -> main/t1
  - main/b1 -> recorder/in1
  - radio/out1 -> recorder/in2
`

// Obstacle is a connection that cannot be had, as a planner told it.
type Obstacle struct {
	// Want is the connection in words of the file, Because what stands in its
	// way.
	Want, Because string
	// Key is the place of its line in the session; empty where it has none.
	Key string
}

// NotGiven tells what keeps a session from being given, one finding for each
// obstacle. The planner is whoever calls: rules never plan. It is asked of sessions
// in which Session finds no error, so that nothing is said twice.
func NotGiven(s *session.Session, places text.Places, obstacles []Obstacle) []Finding {
	var findings []Finding
	for _, o := range obstacles {
		place, _ := places.Of(orElse(o.Key, "connect"))
		findings = append(findings, Finding{
			Code: notGiven.Code, Severity: notGiven.Severity, Place: place,
			Message: phrase.Put("not possible: {connection}, {reason}", "connection", o.Want, "reason", o.Because),
			Hint:    "wire another way to it, or leave one of the connections out",
		})
	}
	return sorted(findings)
}

// Unwired says whether a studio has no cable at all, as one that somebody has begun to
// write: nothing can be had in it.
func Unwired(s *studio.Studio) bool { return len(s.Wires)+len(s.Ties)+len(s.Mults) == 0 }

// NothingWired tells of a studio without cables that some connections of its sessions are not
// possible, once for all of them.
func NothingWired(places text.Places, sessions int) Finding {
	place, _ := places.Of("studio")
	return Finding{
		Code: notGiven.Code, Severity: notGiven.Severity, Place: place,
		Message: phrase.Count(sessions, "not possible: 1 session, since nothing is wired yet", "not possible: {n} sessions, since nothing is wired yet"),
		Hint:    WireFirst,
	}
}

// WireFirst is what to do in a studio without cables.
const WireFirst = "write wiring: with a line for each cable at the rear of the bays, such as interface/out1-8 -> main/t1-8; where nothing is soldered yet, bayhand arrange proposes them"
