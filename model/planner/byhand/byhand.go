// Package byhand reads rooms that are so small that what is right can be reckoned on
// paper: a studio, a session and a patch in the words of their files. It is for tests.
package byhand

import (
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Home is a small room: four sources over four destinations, two of them by half-normals,
// a matrix of two by two, a mult of four, and free columns.
const Home = `studio: home
gear:
  synth: {outputs: {out1-4: pro-line}}
  desk: {inputs: {in1-4: pro-line}}
bays:
  main: {pairs: 24, jack: bantam, modes: {1-2: half-normal, 3-24: isolated}}
matrices: {grid: {inputs: 2, outputs: 2}}
wiring:
  - synth/out1-4 -> main/t1-4
  - main/b1-4 -> desk/in1-4
  - main/b5-6 -> grid/in1-2
  - grid/out1-2 -> main/t5-6
mults: [[main/t20, main/t21, main/t22, main/t23]]
`

// Room is a studio, what a session asks of it, and the patch that is in.
type Room struct {
	Studio  *studio.Studio
	Session *session.Session
	In      patch.Patch
}

// Read reads a studio, the keys of a session, and a patch; an empty one is the patch at
// rest.
func Read(t testing.TB, room, asked, in string) Room {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(room))
	if problems.Errors() {
		t.Fatal(problems)
	}
	r := Room{Studio: s, In: s.Rest}
	r.Session, _, problems = text.ReadSession("s.yaml", []byte("session: s\n"+asked), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	if in != "" {
		r.In = r.patch(t, in)
	}
	return r
}

func (r Room) patch(t testing.TB, contents string) patch.Patch {
	t.Helper()
	p, _, problems := text.ReadPatch("in.yaml", []byte("patch: {"+contents+"}\n"), r.Studio)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return p
}

// Problem is what the session asks of the room.
func (r Room) Problem(t testing.TB, o problem.Options) *problem.Problem {
	t.Helper()
	p, err := problem.New(heard.NewRoom(r.Studio).For(r.Session, r.In), r.In, r.Session, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Draft is a patch of the room in numbers of a problem of it.
func (r Room) Draft(t testing.TB, p *problem.Problem, contents string) graph.Patch {
	t.Helper()
	d, err := p.Numbered(r.patch(t, contents))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Jack is the number of a jack by its name.
func (r Room) Jack(t testing.TB, p *problem.Problem, jack string) int {
	t.Helper()
	return r.Draft(t, p, "dummies: ["+jack+"]").Dummies[0]
}
