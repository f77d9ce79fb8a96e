package check

import (
	"fmt"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/session"
)

var loop = rule{
	Rule: Rule{
		Code:     "loop",
		Severity: "warning",
		Title:    "a signal comes back to where it was, and may feed back",
		Manual: `A path from an output through the bay and through gear back to itself feeds back as soon
as its gain is enough, in the loudspeakers or unheard inside the gear. check looks at
the rest patch, and at each session with what its gear passes and its software carries. A
loop made only of the session's own lines is not possible, which is an error. A loop that
is meant goes under allow:. Turn loudspeakers and headphones down before you try anything
of this kind: hearing does not heal.`,
		Bad: Example{Studio: `studio: An echo into itself
gear:
  echo: {channels: 1, line: pro-line}
bays:
  main: {pairs: 1, modes: half-normal}
wiring:
  - echo/out1 -> main/t1
  - main/b1 -> echo/in1
`},
		Good: Example{Studio: `studio: An echo on an isolated pair
gear:
  echo: {channels: 1, line: pro-line}
bays:
  main: {pairs: 1, modes: isolated}
wiring:
  - echo/out1 -> main/t1
  - main/b1 -> echo/in1
`},
	},
	studio:  loopsAtRest,
	session: loopsAsked,
}

func loopsAtRest(v *view) []violation {
	var all []violation
	for _, l := range v.rest.Loops(nil, nil) {
		all = append(all, violation{
			key:     v.keyOf(l.Through[:1]),
			message: phrase.Put("in the rest patch a signal goes round through {points}", "points", round(l.Through)),
			hint:    "make the pair isolated that closes it, or wire it another way",
		})
	}
	return all
}

func round(ports []name.Point) string {
	text := ""
	for _, p := range ports {
		text += p.String() + " -> "
	}
	return text + ports[0].String()
}

// loopsAsked finds the loops of a session's own lines, and those that what is
// heard at rest closes as long as nothing is changed there.
func loopsAsked(v *sessionView) []violation {
	own := v.flow()
	var all []violation
	for _, l := range own.rounds() {
		all = append(all, violation{
			key:      v.keyOfWant(l),
			message:  phrase.Put("the session's own lines make a loop: {points}", "points", round(l)),
			hint:     fmt.Sprintf("take one of its connections out, or write allow: [loop %s] if it is meant", l[0]),
			severity: "error",
		})
	}
	without := *v
	without.session = &session.Session{Silent: v.session.Silent, Loops: v.session.Loops}
	known := without.withRest(without.flow()) // said of the studio
	for _, l := range v.withRest(own).rounds() {
		if known.has(l) || own.has(l) {
			continue
		}
		all = append(all, violation{
			key:     "inside",
			message: phrase.Put("once the software carries this, and until the bay is patched, a signal goes round through {points}", "points", round(l)),
			hint:    "patch first, with the loudspeakers down, and change the software over after that",
		})
	}
	return all
}
