package tidy

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/trial"
)

// A cord or lead that is in for nothing but the normals that its plugs break is a trap:
// its other end is in a jack where it looks as if it carried something. What only
// breaks is a dummy, or a cord that hangs from one jack.

// JustBreaks says whether the session would be given as well if there were a dummy at
// each end of a cord or lead that a trial holds.
func JustBreaks(t *problem.Problem, r *trial.Trial, p graph.Part) bool {
	if p.Kind != graph.Cord && p.Kind != graph.Lead || p.Kind == graph.Cord && p.B == graph.None || !slices.ContainsFunc(p.Jacks(), t.Guards) {
		return false
	}
	var dummies []graph.Part
	for _, j := range p.Jacks() {
		dummies = append(dummies, graph.Part{Kind: graph.Dummy, A: j})
	}
	out := []graph.Part{p}
	r.Change(out, dummies)
	breaks := gives(t, r)
	r.Change(dummies, out)
	return breaks
}

// instead puts a dummy, or the cord hanging from one of its jacks, in the place of a
// cord or lead that just breaks, where that does.
func instead(t *problem.Problem, r *trial.Trial, p graph.Part) bool {
	if !JustBreaks(t, r, p) {
		return false
	}
	out := []graph.Part{p}
	for _, in := range insteadOf(t, r, p) {
		r.Change(out, []graph.Part{in})
		if r.Wrong() == 0 && (in.Kind == graph.Dummy || problem.MayHang(t, r.State, in.A)) && (!t.AsksForWays() || t.KeepsWays(r.Patch())) {
			return true
		}
		r.Change([]graph.Part{in}, out)
	}
	return false
}

func insteadOf(t *problem.Problem, r *trial.Trial, p graph.Part) []graph.Part {
	var all []graph.Part
	if owned := t.Dummies; owned < 0 || len(r.Patch().Dummies) < owned {
		for _, j := range p.Jacks() {
			all = append(all, graph.Part{Kind: graph.Dummy, A: j})
		}
	}
	if p.Kind == graph.Cord {
		for _, j := range p.Jacks() {
			if t.Stock.AnyHangs(j) {
				all = append(all, graph.Part{Kind: graph.Cord, A: j, B: graph.None})
			}
		}
	}
	return all
}
