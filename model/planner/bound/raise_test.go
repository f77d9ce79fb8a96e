package bound_test

import (
	"strings"
	"testing"

	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/problem"
)

// guarded is a room where what comes out of a matrix goes on by a normal that a plug in main/b1
// breaks, and none in main/t1.
var guarded = strings.Replace(switched, "1: normal", "1: half-normal", 1)

// patient is more looks at arcs than rooms so small need.
const patient = 1e6

// What sources have to share shows in the bound by prices: the one output of a matrix, which
// is the free way of both; a cord that is in no plan, of which only one new cord is made. So does
// what a way costs beside its own plugs: a dummy for a normal that leads to where it must not be heard.
func TestPricesOfWhatIsShared(t *testing.T) {
	for _, test := range []struct {
		name, room, asked, in string
		least                 int
	}{
		{"one output", switched, "connect: [synth/out2 -> desk/in1, synth/out1 -> desk/in2]\n", "cords: [main/t1 - main/b2]", 2},
		{"one output, asked for once", switched, "connect: [synth/out1 -> desk/in2]\n", "cords: [main/t1 - main/b2]", 0},
		{"two cords", byhand.Home, "connect: [synth/out3 -> desk/in3, synth/out4 -> desk/in4]\n", "", 4},
		{"an end moves", byhand.Home, "connect: [synth/out3 -> desk/in4]\n", "cords: [main/t3 - main/b3]", 2},
		{"one of two is pulled", byhand.Home, "connect: [synth/out3 -> desk/in4]\n", "cords: [main/t3 - main/b3, main/t4 - main/b4]", 4},
		{"a mult for two destinations", byhand.Home, "connect: ['synth/out3 -> [desk/in3, desk/in4]']\n", "", 6},
		{"a normal is broken", byhand.Home, "silent: [desk/in1]\n", "", 1},
		{"a normal that no way could break", guarded, "connect: [synth/out1 -> desk/in2]\nsilent: [desk/in1]\n", "cords: [main/t1 - main/b2]", 1},
		{"a way breaks it", guarded, "connect: [synth/out1 -> desk/in2, synth/out2 -> desk/in1]\n", "cords: [main/t1 - main/b2]", 2},
		{"a cord hangs for it", byhand.Home, "silent: [desk/in1]\n", "cords: [main/b1 - main/b10]", 1},
	} {
		p := byhand.Read(t, test.room, test.asked, test.in).Problem(t, problem.Options{Prefer: plan.PreferFewest})
		if got := bound.Raise(t.Context(), p, nil, test.least+4, patient).Least; got != test.least {
			t.Errorf("%s: at least %d plugs, want %d", test.name, got, test.least)
		}
	}
}

// Where cords are left in on request, prices say nothing, and no plug is asked for where
// nothing is.
func TestPricesSayNothing(t *testing.T) {
	p := byhand.Read(t, byhand.Home, "connect: [synth/out3 -> desk/in3]\n", "").Problem(t, problem.Options{Prefer: plan.PreferFewest, LeaveCords: true})
	if got := bound.Raise(t.Context(), p, nil, 2, patient).Least; got != 0 {
		t.Errorf("cords are left in: at least %d plugs", got)
	}
	p = byhand.Read(t, byhand.Home, "connect: [synth/out1 -> desk/in1]\n", "").Problem(t, problem.Options{Prefer: plan.PreferFewest})
	if got := bound.Raise(t.Context(), p, nil, 1, patient).Least; got != 0 {
		t.Errorf("the normals give it: at least %d plugs", got)
	}
}
