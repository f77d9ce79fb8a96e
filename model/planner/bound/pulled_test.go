package bound_test

import (
	"strings"
	"testing"

	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/problem"
)

// inTheWay is a room where the output of a matrix could be at an input that a normal leads to as well.
const inTheWay = `studio: in the way
gear:
  synth: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 6, jack: bantam, modes: {1-3: isolated, 4: half-normal, 5-6: isolated}}
matrices: {grid: {inputs: 2, outputs: 1}}
wiring:
  - synth/out1-2 -> main/t3-4
  - main/b3 -> grid/in1
  - main/b4 -> desk/in1
  - grid/out1 -> main/t1
  - main/b2 -> desk/in2
  - main/b5 -> grid/in2
`

// fully is the same room where a plug at either end breaks the normal.
var fully = strings.Replace(inTheWay, "half-normal", "normal", 1)

// Where prices are held to a patch, here that which is in, cords that could stay count that no plan keeps: for a normal to hold
// again, and where a source has its destinations without, unless they are moved.
func TestCordsThatArePulled(t *testing.T) {
	for _, test := range []struct {
		name, room, asked, in string
		least                 int
	}{
		{"a cord stays, and the source comes by it", fully, "connect: [synth/out2 -> desk/in1]\n", "cords: [main/t1 - main/b4, main/t4 - main/b5]", 0},
		{"one is pulled that could stay, where the normal is full", fully, "connect: [synth/out2 -> desk/in1]\n", "cords: [main/t1 - main/b4]", 2},
		{"cords bring what is there without them", inTheWay, "connect: [synth/out2 -> desk/in1]\n", "cords: [main/t1 - main/b4, main/t4 - main/b5]", 4},
		{"and would when one is moved", inTheWay, "connect: [synth/out2 -> desk/in1]\n", "cords: [main/t1 - main/b2, main/t4 - main/b5]", 4},
		{"a cord is pulled that could stay", inTheWay, "connect: [synth/out2 -> desk/in1]\n", "cords: [main/t1 - main/b4]", 2},
		{"a cord is pulled from a source that has a normal", inTheWay, "connect: [synth/out2 -> desk/in1]\n", "cords: [main/t4 - main/b5]", 2},
		{"it stays for another destination", inTheWay, "connect: ['synth/out2 -> [desk/in1, desk/in2]']\n", "cords: [main/t4 - main/b5, main/t1 - main/b2]", 0},
		{"it is moved to another destination", inTheWay, "connect: ['synth/out2 -> [desk/in1, desk/in2]']\n", "cords: [main/t4 - main/b5]", 2},
		{"a cord that could stay is moved", inTheWay, "connect: [synth/out2 -> desk/in1, synth/out1 -> desk/in2]\n", "cords: [main/t1 - main/b4, main/t3 - main/b3]", 2},
		{"one is moved, and another pulled", inTheWay, "connect: [synth/out2 -> desk/in1, synth/out1 -> desk/in2]\n", "cords: [main/t1 - main/b4]", 4},
		{"a cord brings what is there without it", byhand.Home, "connect: [synth/out1 -> desk/in1]\n", "cords: [main/t5 - main/b1]", 2},
	} {
		p := byhand.Read(t, test.room, test.asked, test.in).Problem(t, problem.Options{Prefer: plan.PreferFewest})
		if got := bound.Raise(t.Context(), p, &p.Present, test.least+4, patient).Least; got != test.least {
			t.Errorf("%s: at least %d plugs, want %d", test.name, got, test.least)
		}
	}
}

// A cord that is in no plan is pulled, two plugs, where nothing is gained if it hangs from one jack: from that
// of an output of a matrix, relays or not, which need not send anything; from that of an input that passes
// on what it hears, while what comes by the normal was passed on by nothing.
func TestHangingIsOfNoUse(t *testing.T) {
	relays := strings.Replace(switched, "outputs: 1}", "outputs: 1, kind: contacts}", 1)
	passing := strings.Replace(switched, "  desk: {inputs: {in1-2: pro-line}}", "  desk: {inputs: {in1-2: pro-line}, outputs: {out1: pro-line}}", 1)
	passing = strings.Replace(passing, "2: isolated,", "2: half-normal,", 1) + "  - synth/out3 -> main/t2\n"
	passing = strings.Replace(passing, "out1-2: pro-line}}\n  desk", "out1-3: pro-line}}\n  desk", 1)
	for _, test := range []struct {
		name, room, asked, in string
		least                 int
	}{
		{"from an output", switched, "connect: [synth/out1 -> desk/in1]\nsilent: [desk/in2]\n", "cords: [main/t1 - main/b2]", 2},
		{"from an output of relays", relays, "connect: [synth/out1 -> desk/in1]\nsilent: [desk/in2]\n", "cords: [main/t1 - main/b2]", 2},
		{"from an input that passes on", passing, "connect: [synth/out1 -> desk/in1]\ninside: [desk/in2 -> desk/out1]\n", "cords: [main/b2 - main/t4]", 2},
	} {
		p := byhand.Read(t, test.room, test.asked, test.in).Problem(t, problem.Options{Prefer: plan.PreferFewest})
		if got := bound.Raise(t.Context(), p, &p.Present, test.least+4, patient).Least; got != test.least {
			t.Errorf("%s: at least %d plugs, want %d", test.name, got, test.least)
		}
	}
}
