package bound_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/problem"
)

// What plans may have, reckoned on paper: with two plugs only the straight cord; with four a way
// by the mult or the matrix too, whose cords carry nothing else; and what a cord that is in could
// become.
func TestWhatPlansMayHave(t *testing.T) {
	for _, test := range []struct {
		name, asked, in string
		plugs           int
		cords           []string
	}{
		{"a cord", "connect: [synth/out3 -> desk/in3]\n", "", 2, []string{"main/b3 main/t3"}},
		{"no cord more", "connect: [synth/out3 -> desk/in3]\n", "", 3, []string{"main/b3 main/t3"}},
		{"a way round", "connect: [synth/out3 -> desk/in3]\n", "", 4, []string{
			"main/b3 main/t20", "main/b3 main/t21", "main/b3 main/t22", "main/b3 main/t23", "main/b3 main/t3", "main/b3 main/t5", "main/b3 main/t6",
			"main/b5 main/t3", "main/b6 main/t3", "main/t20 main/t3", "main/t21 main/t3", "main/t22 main/t3", "main/t23 main/t3",
		}},
		{"two sources, each its own", "connect: [synth/out3 -> desk/in3, synth/out4 -> desk/in4]\n", "", 4, []string{"main/b3 main/t3", "main/b4 main/t4"}},
		{"the end that moves", "connect: [synth/out3 -> desk/in4]\n", "cords: [main/t3 - main/b3]", 2, []string{"main/b4 main/t3"}},
	} {
		p := byhand.Read(t, byhand.Home, test.asked, test.in).Problem(t, problem.Options{Prefer: plan.PreferFewest})
		r := bound.Raise(t.Context(), p, nil, test.plugs+2, patient)
		least, margins := r.Least, r.Margins
		if least > test.plugs {
			t.Fatalf("%s: at least %d plugs", test.name, least)
		}
		var got []string
		for ends, sources := range margins.Within(test.plugs).Cords {
			pair := []string{p.Points[p.Jacks[ends[0]].Point].String(), p.Points[p.Jacks[ends[1]].Point].String()}
			slices.Sort(pair)
			if len(sources) == 0 || !slices.IsSorted(sources) {
				t.Errorf("%s: %v carries %v", test.name, pair, sources)
			}
			got = append(got, fmt.Sprint(pair[0], " ", pair[1]))
		}
		if slices.Sort(got); !slices.Equal(got, test.cords) {
			t.Errorf("%s: %q, want %q", test.name, got, test.cords)
		}
	}
}

// A source passes only where it may come on its way: the mult with four plugs, and not with two.
func TestWhereSourcesMayPass(t *testing.T) {
	r := byhand.Read(t, byhand.Home, "connect: [synth/out3 -> desk/in3]\n", "")
	p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
	margins := bound.Raise(t.Context(), p, nil, 6, patient).Margins
	source := p.Wanted[0]
	for plugs, want := range map[int]bool{2: false, 4: true} {
		in := margins.Within(plugs)
		if got := in.MayPass(p.Jacks[r.Jack(t, p, "main/t20")].Node, source); got != want {
			t.Errorf("with %d plugs it passes the mult: %v", plugs, got)
		}
		if !in.MayPass(p.Jacks[r.Jack(t, p, "main/b3")].Node, source) {
			t.Errorf("with %d plugs it does not come to where it is asked for", plugs)
		}
	}
	if all := slices.Collect(maps.Keys(margins.Within(2).Cords)); len(all) != 1 {
		t.Errorf("%v", all)
	}
}
