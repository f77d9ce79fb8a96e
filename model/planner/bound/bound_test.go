package bound_test

import (
	"testing"

	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/problem"
)

// The least number of plugs of small sessions, reckoned on paper, which the bound finds
// without any search.
func TestLeastOnPaper(t *testing.T) {
	for _, test := range []struct {
		name, asked, in string
		least           int
	}{
		{"the normals give it", "connect: [synth/out1 -> desk/in1]\n", "", 0},
		{"a cord", "connect: [synth/out3 -> desk/in3]\n", "", 2},
		{"three cords", "connect: [synth/out1 -> desk/in3, synth/out3 -> desk/in1, synth/out4 -> desk/in4]\n", "", 6},
		{"a cord is in", "connect: [synth/out3 -> desk/in3]\n", "cords: [main/t3 - main/b3]", 0},
		{"an end moves", "connect: [synth/out3 -> desk/in4]\n", "cords: [main/t3 - main/b3]", 2},
		{"a cord is in the way", "connect: []\n", "cords: [main/t3 - main/b3]", 2},
		{"a cord is at an input that asks for nothing", "connect: [synth/out3 -> desk/in3]\n", "cords: [main/t5 - main/b4]", 4},
		{"a cord could only be moved where the signal is after another", "connect: [synth/out3 -> desk/in3]\n", "cords: [main/t20 - main/b10]", 4},
		{"a normal is broken", "silent: [desk/in1]\n", "", 1},
		{"two normals are broken", "silent: [desk/in1-2]\n", "", 2},
		{"a dummy is in the way", "connect: [synth/out1 -> desk/in1]\n", "dummies: [main/b1]", 1},
		{"a mult of three", "connect: ['synth/out3 -> [desk/in3, desk/in4]']\n", "", 6},
		{"a matrix has it all but the plugs", "connect: [synth/out3 -> desk/in3]\n", "cords: [main/t3 - main/b5, main/t5 - main/b3]", 0},
	} {
		r := byhand.Read(t, byhand.Home, test.asked, test.in)
		p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
		if got := bound.Of(p); got != test.least {
			t.Errorf("%s: at least %d plugs, want %d", test.name, got, test.least)
		}
	}
}

const switched = `studio: switched
gear:
  synth: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 6, jack: bantam, modes: {1: normal, 2: isolated, 3-4: half-normal, 5-6: isolated}}
matrices: {grid: {inputs: 2, outputs: 1}}
wiring:
  - synth/out1-2 -> main/t3-4
  - main/b3-4 -> grid/in1-2
  - grid/out1 -> main/t1
  - main/b1-2 -> desk/in1-2
`

// A cord takes the output of a matrix from an input, by the normal that its plug breaks, to
// another. It stays, and the one input has a new cord; or it goes, and the other has: two
// plugs in either case. Where only one of them asks for anything, there is nothing to do.
func TestEitherHasACord(t *testing.T) {
	for _, test := range []struct {
		asked string
		least int
	}{
		{"connect: [synth/out2 -> desk/in1, synth/out1 -> desk/in2]\n", 2},
		{"connect: [synth/out1 -> desk/in2]\n", 0},
	} {
		r := byhand.Read(t, switched, test.asked, "cords: [main/t1 - main/b2]")
		p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
		if got := bound.Of(p); got != test.least {
			t.Errorf("%s: at least %d plugs, want %d", test.asked, got, test.least)
		}
	}
}
