package planner

import (
	"context"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/text"
)

// The way to the rest patch goes around what is faulty: what would have to be plugged there
// stays out and is missing with its reason, and what is in there already stays in.
func TestStripAroundFaultyJacks(t *testing.T) {
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: A home
gear: {synth: {outputs: {out1: pro-line}}}
bays: {main: {pairs: 8, modes: isolated}}
wiring: [synth/out1 -> main/t1]
rest: {cords: [main/t2 - main/b2, main/t3 - main/b3, main/t4 - main/b4], dummies: [main/b8]}
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	jack := func(stem string, n int) name.Point { return name.At("main", stem, n) }
	s.Faulty = []name.Point{jack("t", 2), jack("b", 3), jack("b", 8)}
	from := patch.Patch{Cords: []patch.Cord{{A: jack("b", 3), B: jack("t", 3)}}}
	for _, c := range []struct {
		name  string
		held  []name.Point
		cause string
	}{
		{"faulty", nil, "main/b8 is faulty"},
		{"held", []name.Point{jack("b", 8)}, "main/b8 is in use in another room"},
	} {
		p, err := Make(context.Background(), plan.Request{Studio: s, From: from, Held: c.held})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Missing) != 2 || p.Given || p.Missing[0].Want != "main/t2 - main/b2" || p.Missing[0].Because != "main/t2 is faulty" || p.Missing[1].Because != c.cause {
			t.Errorf("%s: given %t, missing %+v", c.name, p.Given, p.Missing)
		}
		if len(p.Steps) != 1 || p.Steps[0].Do != plan.Plug || p.Steps[0].Ends[0].Number != 4 || len(p.Target.Cords) != 2 || len(p.Target.Dummies) != 0 {
			t.Errorf("%s: the steps are %+v to %+v", c.name, p.Steps, p.Target)
		}
	}
	s.Faulty = nil
	if p, err := Make(context.Background(), plan.Request{Studio: s, From: from}); err != nil || !p.Given || len(p.Missing) > 0 || len(p.Steps) != 3 {
		t.Errorf("where nothing is faulty: %+v, %v", p, err)
	}
}
