package planner_test

import (
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner"
	"bayhand/model/text"
)

// A crosspoint that a matrix lacks is in no plan, and a session that needs it is
// proved to be impossible, with the want that asks for it.
func TestAbsentCrosspoints(t *testing.T) {
	for _, kind := range []string{"contacts", "amplifiers"} {
		s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: Effects room
gear:
  interface: {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
matrices:
  grid: {inputs: 2, outputs: 2, kind: `+kind+`, missing: [in1 x out2]}
wiring:
  - interface/out1-2 -> grid/in1-2
  - grid/out1-2 -> interface/in1-2
`))
		if problems.Errors() {
			t.Fatal(problems)
		}
		for want, given := range map[string]bool{"interface/out1 -> interface/in2": false, "interface/out1 -> interface/in1": true} {
			asked, _, problems := text.ReadSession("test.yaml", []byte("session: test\nconnect: ["+want+"]\n"), s, nil)
			if problems.Errors() {
				t.Fatal(problems)
			}
			p, err := planner.Find(t.Context(), heard.NewRoom(s), s.Rest, asked, planner.Options{})
			if err != nil || p.Given != given || p.Stopped || len(p.Missing) > 0 == given {
				t.Errorf("%s: %s: %+v, %v", kind, want, p, err)
			}
		}
	}
}
