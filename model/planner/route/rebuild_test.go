package route

import (
	"testing"

	"bayhand/model/plan"
	"bayhand/model/planner/byhand"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

const taken = `studio: an input that is taken
gear:
  synth: {outputs: {out1-2: pro-line}}
  desk: {inputs: {in1-3: pro-line}}
bays:
  main: {pairs: 12, jack: bantam, modes: {1: half-normal, 2: isolated, 3-5: half-normal, 6-12: isolated}}
matrices: {grid: {inputs: 2, outputs: 3}}
wiring:
  - synth/out1-2 -> main/t1-2
  - main/b1-2 -> grid/in1-2
  - grid/out1-3 -> main/t3-5
  - main/b3-5 -> desk/in1-3
mults: [[main/t8, main/t9, main/t10, main/t11]]
`

// The input of a matrix to which the normal of one source leads is taken by a cord of another,
// so that the one has three cords to a mult and from it. Without these it goes by the matrix,
// with one cord at most; a source that has no more cords than it needs is left as it is.
func TestSourceWithoutItsCords(t *testing.T) {
	room := byhand.Read(t, taken, "connect: ['synth/out1 -> [desk/in1, desk/in2]', synth/out2 -> desk/in3]\n", "")
	p := room.Problem(t, problem.Options{Prefer: plan.PreferFewest})
	f, ok := objective.Of(p, room.Draft(t, p, "cords: [main/t2 - main/b1, main/t1 - main/t8, main/t9 - main/b3, main/t10 - main/b4], crosspoints: {grid: {out3: in1}}"))
	if !ok || f.Score.Plugs != 8 {
		t.Fatalf("no candidate of eight plugs: %+v", f)
	}
	b := newBuilder(t.Context(), p)
	b.limit, b.told = rebuildWork, func() {}
	r := &rebuilder{Graph: p.Graph, problem: p, trial: b.trial, builder: b, best: f}
	first, second := p.SourceOf[p.Session.Wants[0].Source], p.SourceOf[p.Session.Wants[2].Source]
	if !r.withoutCordsOf(first) || r.best.Score.Plugs > 4 || !p.Gives(r.best.Patch) {
		t.Errorf("%d plugs: %+v", r.best.Score.Plugs, p.Named(r.best.Patch))
	}
	if was := r.best; r.withoutCordsOf(second) || r.best != was {
		t.Errorf("a cord of which there is one was exchanged: %+v", p.Named(r.best.Patch))
	}
}
