package tidy

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/trial"
)

// near are the nodes on the nets that differ from those of a patch in which everything is needed.
// Of the parts of a way that is of no use any more the last is there, and what is around a part
// that goes comes to be there as well. Nil is everywhere.
type near map[int]bool

// add adds the nets around some parts, as the trial is now.
func (n near) add(r *trial.Trial, parts ...graph.Part) {
	for _, p := range parts {
		if n != nil {
			r.AddNets(n, r.Touched(p))
		}
	}
}

// has says whether a part joins or parts any of the nodes.
func (n near) has(r *trial.Trial, p graph.Part) bool {
	return n == nil || slices.ContainsFunc(r.Touched(p), func(at int) bool { return n[at] })
}

// CompleteFrom is CompleteIn for a draft that differs little from a patch in which everything is
// needed: only what is near the difference is tried without. Where a score is given, ok is false as
// well for what is not worth more. The trial is left with what is needed.
func CompleteFrom(t *problem.Problem, r *trial.Trial, known graph.Patch, than *objective.Score) (f *objective.Candidate, ok bool) {
	if t.Options.LeaveCords {
		return objective.Better(t, r.Patch(), than)
	}
	at := near{}
	out, in := r.Differing(known)
	at.add(r, out...)
	at.add(r, in...)
	return complete(t, r, at, than)
}
