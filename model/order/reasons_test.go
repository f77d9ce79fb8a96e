package order_test

import (
	"slices"
	"testing"
)

// split is made up for these tests: 1 of the bay is an organ, and one wire leads from 2
// to three inputs; a matrix of amplifiers brings a piano to two more.
const split = `
studio: A room for reasons
gear:
  organ: {outputs: {out1: pro-line}}
  piano: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-3: pro-line}}
  tape: {inputs: {in1-3: pro-line}}
bays:
  main: {pairs: 4, modes: {1-3: isolated, 4: half-normal}}
matrices:
  grid: {inputs: 2, outputs: 3, kind: amplifiers}
wiring:
  - organ/out1 -> main/t1
  - main/b2 -> desk/in1-3
  - piano/out1-2 -> grid/in1-2
  - grid/out1-3 -> tape/in1-3
`

// atRest is the same room with crosspoints that are closed at rest.
const atRest = split + "rest: {crosspoints: {grid: {out1: in1, out2: in2, out3: in1}}}\n"

// A step that takes or brings several connections says how many there are beside the
// one that it names.
func TestReasonsSayHowManyMore(t *testing.T) {
	for _, c := range []struct {
		name, from, session string
		want                []string
		studio              string
	}{
		{"a cord", "cords: [main/t1 - main/b2]", "", []string{"removes organ/out1 -> desk/in1, and 2 more (not in the rest patch)"}, split},
		{"one crosspoint", "crosspoints: {grid: {out1: in1}}", "", []string{"removes piano/out1 -> tape/in1 (not in the rest patch)"}, split},
		{"two crosspoints", "crosspoints: {grid: {out1: in1, out2: in2}}", "", []string{"removes piano/out1 -> tape/in1, and one more (not in the rest patch)"}, split},
		{"two crosspoints, in a session", "crosspoints: {grid: {out1: in1, out2: in2}}", "connect: [organ/out1 -> desk/in1-3]",
			[]string{"removes piano/out1 -> tape/in1, and one more (not in this session)", "organ/out1 -> desk/in1"}, split},
		{"three crosspoints come back", "cords: []", "", []string{"piano/out1 -> tape/in1, and 2 more"}, atRest},
		{"two of three come back", "crosspoints: {grid: {out2: in2}}", "", []string{"piano/out1 -> tape/in1, and one more"}, atRest},
	} {
		w := written(t, c.studio, c.from, c.session)
		w.arrange(t, 0)
		var got []string
		for _, s := range w.plan.Steps {
			got = append(got, s.Because)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: the steps say %q, want %q", c.name, got, c.want)
		}
	}
}
