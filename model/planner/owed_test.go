package planner_test

import (
	"testing"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Where what is plugged is counted in, and more is in than is owned, others that will do
// are plugged instead, and what is owed comes out; where there are none, there is no plan.
func TestWhatIsOwedComesOut(t *testing.T) {
	const room = `studio: owed
gear:
  desk: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
bays: {main: {pairs: 8, modes: {1: isolated, 2-8: normal}}}
wiring:
  - desk/out1-2 -> main/t1-2
  - main/b1-2 -> desk/in1-2
`
	const cord, dummy = "cords: [{ends: [main/t1, main/b1], length: 60 cm}]", "dummies: [main/b2]"
	const plugs, silences = "connect: [desk/out1 -> desk/in1]", "silent: [desk/in2]"
	for _, c := range []struct {
		name, stock, in, asks string
		given                 bool
		plugs                 int
	}{
		{"the cord is owned", "cords: {stock: {60 cm: 1}}", cord, plugs, true, 0},
		{"another is longer", "cords: {stock: {60 cm: 0, 90 cm: 1}}", cord, plugs, true, 4},
		{"no other is owned", "cords: {stock: {60 cm: 0, 5 cm: 3}}", cord, plugs, false, 0},
		{"the dummy is owned", "cords: {stock: {60 cm: 0}}\ndummies: 1", dummy, silences, true, 0},
		{"a cord hangs for the dummy", "cords: {stock: {60 cm: 1}}\ndummies: 0", dummy, silences, true, 2},
		{"there is nothing for the dummy", "cords: {stock: {60 cm: 0}}\ndummies: 0", dummy, silences, false, 0},
	} {
		s, from, asked := owed(t, room+c.stock+"\n", c.in, c.asks)
		p, err := planner.Make(t.Context(), plan.Request{Studio: s, From: from, Session: asked})
		if err != nil {
			t.Fatal(err)
		}
		if p.Given != c.given || c.given && p.Plugs != c.plugs {
			t.Errorf("%s: given %v with %d plugs, want %v with %d: %+v", c.name, p.Given, p.Plugs, c.given, c.plugs, p.Moves)
		}
		if c.given && p.Least > p.Plugs {
			t.Errorf("%s: a plan of %d plugs is less than the least, %d", c.name, p.Plugs, p.Least)
		}
	}
}

// owed reads a studio whose stock counts what is in, with a patch and a session.
func owed(t *testing.T, room, in, asks string) (*studio.Studio, patch.Patch, *session.Session) {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(room))
	if problems.Errors() {
		t.Fatal(problems)
	}
	from, _, problems := text.ReadPatch("in.yaml", []byte("patch: {"+in+"}\n"), s)
	if problems.Errors() {
		t.Fatal(problems)
	}
	asked, _, problems := text.ReadSession("s.yaml", []byte("session: s\n"+asks+"\n"), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	s.Stock.Counted = true
	return s, from, asked
}
