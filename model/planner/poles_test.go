package planner_test

import (
	"slices"
	"testing"

	"bayhand/model/heard"
	"bayhand/model/planner"
	"bayhand/model/text"
)

// A cord of two poles grounds the cold leg of a balanced line (common practice, no
// published source): it serves one only where no cord of three poles is left, and is
// written back as what it is.
func TestTwoPolesForUnbalancedLines(t *testing.T) {
	for _, test := range []struct {
		three string
		want  []int // balanced lines with a cord of two poles, then unbalanced ones
	}{{"2", []int{0, 2}}, {"1", []int{1, 2}}} {
		s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: poles
gear:
  synth: {outputs: {out1-2: home-line}, inputs: {in1-2: home-line}}
  desk:  {outputs: {out1-2: pro-line}, inputs: {in1-2: pro-line}}
bays: {main: {pairs: 8, jack: quarter-inch, modes: {1-8: isolated}}}
wiring:
  - desk/out1-2 -> main/t1-2
  - synth/out1-2 -> main/t3-4
  - main/b1-2 -> desk/in1-2
  - main/b3-4 -> synth/in1-2
cords: {stock: [{length: 30 cm, poles: 2, count: 3}, {length: 60 cm, poles: 3, count: `+test.three+`}]}
`))
		if problems.Errors() {
			t.Fatal(problems)
		}
		asked, _, problems := text.ReadSession("s.yaml", []byte("session: s\nconnect: [synth/out1-2 -> synth/in1-2, desk/out1-2 -> desk/in1-2]\n"), s, nil)
		if problems.Errors() {
			t.Fatal(problems)
		}
		p, err := planner.Find(t.Context(), heard.NewRoom(s), s.Rest, asked, planner.Options{})
		if err != nil || !p.Given {
			t.Fatalf("%+v, %v", p, err)
		}
		got := []int{0, 0}
		for _, c := range p.Target.Cords {
			if c.Poles == 2 && slices.Contains([]string{"t1", "t2", "b1", "b2"}, c.A.Port()) {
				got[0]++
			} else if c.Poles == 2 {
				got[1]++
			}
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("with %s cords of three poles: %d balanced lines and %d unbalanced ones have cords of two; %v should", test.three, got[0], got[1], test.want)
		}
	}
}
