package effect

import (
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Standing is what a state of a room does that nobody should leave so: outputs that are
// joined, and loops that are not allowed. Inside is what software carries. What is so in
// the rest patch too is left out, since check speaks of it. The rest patch is heard, in
// time linear in the studio, only where there is something.
func Standing(room *heard.Room, now *heard.State, inside []studio.Pass, allow []name.Point) Effect {
	in := &session.Session{Inside: inside, Loops: allow}
	e := Effect{Changes: []Heard{}, Joins: drivers(now), Loops: rounds(now, in), Loudspeakers: []name.Point{}, Cautions: []Caution{}}
	if len(e.Joins)+len(e.Loops) > 0 {
		rest := room.Hear(room.Studio().Rest)
		e.Joins, e.Loops = fresh(drivers(rest), e.Joins), fresh(rounds(rest, in), e.Loops)
	}
	return e
}
