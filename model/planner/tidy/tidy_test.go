package tidy_test

import (
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/plan"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/tidy"
	"bayhand/model/planner/trial"
	"bayhand/simulators/rooms/houses"
)

// What the session does not need goes, what it needs stays, and what only breaks a normal
// becomes a dummy.
func TestPrune(t *testing.T) {
	const third = "connect: [synth/out3 -> desk/in3]\n"
	for _, test := range []struct{ name, asked, draft, want string }{
		{"nothing is needed", "connect: [synth/out1 -> desk/in1]\n", "cords: [main/t9 - main/b10], dummies: [main/t4]", ""},
		{"one of two cords is", third, "cords: [main/t3 - main/b3, main/t9 - main/b10]", "cords: [main/t3 - main/b3]"},
		{"a crosspoint is not", third, "cords: [main/t3 - main/b3], crosspoints: {grid: {out1: in1}}", "cords: [main/t3 - main/b3]"},
		{"both cords and the crosspoint are", third, "cords: [main/t3 - main/b5, main/t5 - main/b3], crosspoints: {grid: {out1: in1}}",
			"cords: [main/t3 - main/b5, main/t5 - main/b3], crosspoints: {grid: {out1: in1}}"},
		{"a cord that just breaks", "silent: [desk/in1]\n", "cords: [main/b1 - main/b9]", "dummies: [main/b1]"},
		{"a draft that does not give it", third, "cords: [main/t4 - main/b4]", "cords: [main/t4 - main/b4]"},
	} {
		r := byhand.Read(t, byhand.Home, test.asked, "")
		p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
		got, want := tidy.Prune(p, r.Draft(t, p, test.draft)), r.Draft(t, p, test.want)
		if !slices.Equal(got.Parts(), want.Parts()) {
			t.Errorf("%s: %+v", test.name, p.Named(got))
		}
	}
}

// Where no dummy is owned, a cord hangs from the jack whose normal is broken; with one
// end in an innocent jack it would look as if it carried something.
func TestJustBreaks(t *testing.T) {
	r := byhand.Read(t, byhand.Home+"dummies: 0\n", "silent: [desk/in1]\n", "")
	p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
	trap := r.Draft(t, p, "cords: [main/b1 - main/b9]")
	breaks := func(d graph.Patch) bool { return tidy.JustBreaks(p, trial.New(p, d), d.Parts()[0]) }
	if !breaks(trap) || breaks(r.Draft(t, p, "cords: [{ends: [main/b1]}]")) {
		t.Error("what only breaks is not told from what carries")
	}
	if f, ok := tidy.Complete(p, trap); !ok || f.Score.Plugs != 1 || !slices.Equal(f.Patch.Plugs(), []int{r.Jack(t, p, "main/b1")}) {
		t.Errorf("%+v", f)
	}
}

// Lines that change places in a mult, or in the inputs of a matrix, stand as near to what
// they come from as can be.
func TestStraighten(t *testing.T) {
	for _, test := range []struct{ name, asked, draft, want string }{
		{"the far jacks of a mult", "connect: ['synth/out3 -> [desk/in3, desk/in4]']\n",
			"cords: [main/t3 - main/t23, main/t22 - main/b3, main/t21 - main/b4]", "cords: [main/t3 - main/t20, main/t22 - main/b3, main/t21 - main/b4]"},
		{"the other input of a matrix", "connect: [{from: synth/out4, to: desk/in4, via: [grid]}]\n",
			"cords: [main/t4 - main/b6, main/t6 - main/b4], crosspoints: {grid: {out2: in2}}", "cords: [main/t4 - main/b5, main/t5 - main/b4], crosspoints: {grid: {out1: in1}}"},
	} {
		r := byhand.Read(t, byhand.Home, test.asked, "")
		p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
		f, ok := tidy.Complete(p, r.Draft(t, p, test.draft))
		if !ok {
			t.Fatalf("%s: no candidate", test.name)
		}
		got, want := tidy.Straighten(p, f), r.Draft(t, p, test.want)
		if a, b := lengths(p, got.Patch), lengths(p, want); a > b || !p.Gives(got.Patch) || f.Score.Less(got.Score) {
			t.Errorf("%s: cords of %v together, and %v suffice: %+v", test.name, a, b, p.Named(got.Patch))
		}
	}
}

const twoInputs = `studio: two inputs
gear:
  synth: {outputs: {out1: pro-line}}
  desk: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 3, jack: bantam, modes: {1: normal, 2: isolated, 3: half-normal}}
matrices: {grid: {inputs: 2, outputs: 1}}
wiring:
  - synth/out1 -> main/t1
  - main/b1-2 -> grid/in1-2
  - grid/out1 -> main/t3
  - main/b3 -> desk/in1
`

// A cord to the other input of a matrix comes beside the normal that does the same, and goes.
func TestStraightCordIsLeftOut(t *testing.T) {
	r := byhand.Read(t, twoInputs, "connect: [synth/out1 -> desk/in1]\n", "")
	p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
	f, ok := objective.Of(p, r.Draft(t, p, "cords: [main/t1 - main/b2], crosspoints: {grid: {out1: in2}}"))
	if !ok {
		t.Fatal("no candidate")
	}
	if got := tidy.Straighten(p, f); got.Score.Plugs != 0 || !p.Gives(got.Patch) {
		t.Errorf("%d plugs: %+v", got.Score.Plugs, p.Named(got.Patch))
	}
}

// lengths is how much cord a patch takes.
func lengths(p *problem.Problem, d graph.Patch) measure.Length {
	sum := measure.Length(0)
	for _, c := range d.Cords {
		if c[1] != graph.None {
			sum += p.Stock.Need(c[0], c[1])
		}
	}
	return sum
}

// In drawn houses, of what is left no single part can go; and what is straightened is
// worth no less, gives the session, takes no more cord, and has nothing that could go.
func TestTidyHouses(t *testing.T) {
	looked := 0
	for seed := uint64(1); seed <= 20; seed++ {
		s, asked, present, planted := houses.Draw(houses.Home, seed).Read()
		p, err := problem.New(heard.NewRoom(s).For(asked, present), present, asked, problem.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		d, err := p.Numbered(planted)
		if err != nil || !p.Gives(d) {
			t.Fatalf("house %d: what was planted does not give the session: %v", seed, err)
		}
		d = tidy.Prune(p, d)
		for _, part := range d.Parts() {
			r := trial.New(p, d)
			if r.Change([]graph.Part{part}, nil); len(p.Ganged) == 0 && p.Gives(r.Patch()) {
				t.Errorf("house %d: %+v is not needed", seed, part)
			}
			looked++
		}
		f, ok := objective.Of(p, d)
		if !ok {
			continue
		}
		g := tidy.Straighten(p, f)
		if f.Score.Less(g.Score) || !p.Gives(g.Patch) || lengths(p, g.Patch) > lengths(p, d) {
			t.Errorf("house %d: straightened it is worse: %+v, %+v", seed, f.Score, g.Score)
		}
		if left := tidy.Prune(p, g.Patch); !slices.Equal(left.Parts(), g.Patch.Parts()) {
			t.Errorf("house %d: straightened it has what is not needed: %+v, and %+v is left", seed, g.Patch, left)
		}
	}
	if looked < 200 {
		t.Errorf("only %d parts were looked at", looked)
	}
}
