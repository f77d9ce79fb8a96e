package planner

import (
	"strings"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/route"
	"bayhand/model/text"
)

const builtStudio = `
studio: Made up for a test
gear:
  source: {outputs: {out1-4: pro-line}}
  box: {channels: 2, line: pro-line}
  sink: {inputs: {in1-6: pro-line}}
  guest: {outputs: {out1: pro-line}}
bays:
  main:
    pairs: 12
    modes: {1-2: half-normal, 3-4: normal, 5-6: isolated, 7-8: half-normal, 9-10: isolated, 11-12: parallel}
matrices:
  grid: {inputs: 2, outputs: 2, kind: contacts}
wiring:
  - source/out1-4 -> main/t1-4
  - main/b1-4 -> sink/in1-4
  - box/out1-2 -> main/t5-6
  - main/b5-6 -> box/in1-2
  - main/b7-8 -> grid/in1-2
  - grid/out1-2 -> sink/in5-6
mults: [[main/t11, main/t12]]
cords: {stock: {60 cm: 12}}
dummies: 2
`

// What the builder finds is what a person would plug, and gives the session.
func TestBuild(t *testing.T) {
	for _, test := range []struct{ name, session, want string }{
		{"nothing to do", "connect: [source/out1 -> sink/in1]", ""},
		{"a chain", "connect: [source/out1 -> box/1 -> sink/in1]", "main/b1-main/t5 main/t1-main/b5"},
		{"a tap", "connect: ['source/out1 -> [sink/in1, box/in1]']", "main/t1-main/b5"},
		{"a normal taken over", "connect: [source/out3 -> sink/in4]", "main/t3-main/b4"},
		{"a dummy", "silent: [sink/in1]", "main/b1"},
		{"a fan by the mult", "connect: ['source/out1 -> [sink/in1, box/in1-2]']", "main/b5-main/b12 main/b6-main/b11 main/t1-main/t11"},
		{"by relays", "connect: [box/out1 -> sink/in5]", "main/t5-main/t7 grid/out1:grid/in1"},
		{"a lead", "connect: [guest/out1 -> sink/in6]", "guest/out1-main/b7 grid/out2:grid/in1"},
	} {
		t.Run(test.name, func(t *testing.T) {
			s, _, problems := text.ReadStudio("studio.yaml", []byte(builtStudio))
			if problems.Errors() {
				t.Fatal(problems)
			}
			asked, _, problems := text.ReadSession("test.yaml", []byte("session: test\n"+strings.ReplaceAll(test.session, "'", `"`)), s, nil)
			if problems.Errors() {
				t.Fatal(problems)
			}
			m, err := newMaking(t.Context(), heard.NewRoom(s), s.Rest, asked, Options{})
			if err != nil {
				t.Fatal(err)
			}
			if m.route(); m.best == nil {
				t.Fatal("nothing was built")
			}
			f := route.Rebuild(t.Context(), m.problem, m.best, 0)
			if faults := m.problem.Room.CheckGiven(asked, f.Target, nil); len(faults) > 0 {
				t.Errorf("what was built does not give the session: %v", faults)
			}
			if got := described(f); got != test.want {
				t.Errorf("built %q, not %q", got, test.want)
			}
		})
	}
}

func described(f *objective.Candidate) string {
	var all []string
	for _, c := range f.Target.Cords {
		all = append(all, c.A.String()+"-"+c.B.String())
	}
	for _, l := range f.Target.Leads {
		all = append(all, l.Port.String()+"-"+l.Jack.String())
	}
	for _, d := range f.Target.Dummies {
		all = append(all, d.String())
	}
	for _, c := range f.Target.Crosspoints {
		all = append(all, c.Output.String()+":"+c.Input.String())
	}
	return strings.Join(all, " ")
}

// What cannot be had is not built.
func TestBuildFindsNothing(t *testing.T) {
	s, _, _ := text.ReadStudio("studio.yaml", []byte(strings.ReplaceAll(builtStudio, "60 cm: 12", "60 cm: 1")))
	asked, _, _ := text.ReadSession("test.yaml", []byte("session: test\nconnect: [source/out1 -> box/1 -> sink/in1]\n"), s, nil)
	m, err := newMaking(t.Context(), heard.NewRoom(s), s.Rest, asked, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if f, _ := route.Build(t.Context(), m.problem, 0, route.Others{}); f != nil {
		t.Errorf("built %q of one cord", described(f))
	}
}
