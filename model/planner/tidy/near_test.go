package tidy_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/plan"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/tidy"
	"bayhand/model/planner/trial"
	"bayhand/simulators/rooms/houses"
)

// What is left of a draft that differs from a patch in which everything is needed is the same,
// whether all of it is tried without or only what is near the difference.
func TestWhatIsNearIsEnough(t *testing.T) {
	drafts, others := 0, 0
	for seed := range uint64(12) {
		s, asked, present, planted := houses.Draw(houses.Home, seed).Read()
		p, err := problem.New(heard.NewRoom(s).For(asked, present), present, asked, problem.Options{Prefer: plan.PreferFewest})
		if err != nil {
			t.Fatal(err)
		}
		d, err := p.Numbered(planted)
		if err != nil {
			t.Fatal(err)
		}
		known := tidy.Prune(p, d)
		r, lots := trial.New(p, known), rand.New(rand.NewPCG(seed, 3))
		for range 1500 {
			r.Hold(known)
			if more := drawMore(lots, p, r); len(more) > 0 && r.Wrong() == 0 {
				drafts++
				if others += comparePruned(t, p, r, known, more); t.Failed() {
					t.Fatalf("house %d, %+v", seed, more)
				}
			}
		}
	}
	t.Logf("%d drafts, in %d of them more goes than what came", drafts, others)
	if drafts < 1000 || others < 20 {
		t.Error("too few are of a kind")
	}
}

// comparePruned completes the draft in a trial both ways, and says whether anything went that was
// in before it was changed: 1 or 0.
func comparePruned(t *testing.T, p *problem.Problem, r *trial.Trial, known graph.Patch, more []graph.Part) int {
	t.Helper()
	all, ok := tidy.Complete(p, r.Patch())
	near, okNear := tidy.CompleteFrom(p, r, known, nil)
	if ok != okNear || ok && !slices.Equal(all.Patch.Parts(), near.Patch.Parts()) {
		t.Errorf("%v and %v", ok, okNear)
	}
	if ok && len(graph.Without(known.Parts(), all.Patch.Parts())) > 0 {
		return 1
	}
	return 0
}

// drawMore puts up to three parts in where there is place, and returns them.
func drawMore(lots *rand.Rand, p *problem.Problem, r *trial.Trial) (more []graph.Part) {
	for range 1 + lots.IntN(3) {
		var part graph.Part
		a, b := lots.IntN(len(p.Jacks)), lots.IntN(len(p.Jacks))
		switch ends := graph.Ordered([2]int{a, b}); {
		case len(p.Crosses) > 0 && lots.IntN(2) == 0:
			x := lots.IntN(len(p.Crosses))
			if len(r.State.Behind(p.Crosses[x].Output)) > 0 || len(p.Ganged[x]) > 0 {
				continue
			}
			part = graph.Part{Kind: graph.Cross, A: x}
		case r.Plugs[a].Kind != 0 || r.Plugs[b].Kind != 0 || a == b:
			continue
		case lots.IntN(4) == 0:
			part = graph.Part{Kind: graph.Dummy, A: a}
		default:
			part = graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]}
		}
		r.Change(nil, []graph.Part{part})
		if r.Wrong() > 0 {
			r.Change([]graph.Part{part}, nil)
			continue
		}
		more = append(more, part)
	}
	return more
}

const twoMatrices = `studio: two matrices
gear:
  synth: {outputs: {out1: pro-line}}
  desk: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 6, jack: bantam, modes: isolated}
matrices: {first: {inputs: 1, outputs: 2}, second: {inputs: 1, outputs: 1}}
wiring:
  - synth/out1 -> first/in1
  - first/out1-2 -> main/t1-2
  - main/b3 -> second/in1
  - second/out1 -> main/t4
  - main/b5-6 -> desk/in1-2
mults: [[main/t3, main/t5, main/t6]]
`

// Where a destination has its source by another cord, the whole way goes by which it had it, also
// where nothing differs.
func TestWhatIsBehindGoes(t *testing.T) {
	const both = "connect: ['synth/out1 -> [desk/in1, desk/in2]']\n"
	r := byhand.Read(t, twoMatrices, both, "")
	p := r.Problem(t, problem.Options{Prefer: plan.PreferFewest})
	const switched = "main/t2 - main/t3, main/t5 - main/b6], crosspoints: {first: {out1: in1, out2: in1}, second: {out1: in1}}"
	known := r.Draft(t, p, "cords: [main/t1 - main/b3, main/t4 - main/b5, "+switched)
	if !slices.Equal(tidy.Prune(p, known).Parts(), known.Parts()) {
		t.Fatal("not all of it is needed")
	}
	draft := r.Draft(t, p, "cords: [main/t1 - main/b3, main/t6 - main/b5, "+switched)
	f, ok := tidy.CompleteFrom(p, trial.New(p, draft), known, nil)
	if !ok || f.Score.Plugs != 6 || len(f.Patch.Crosses) != 1 {
		t.Errorf("%+v", p.Named(f.Patch))
	}
}
