// Package tidy leaves out of a patch what it does not need, and exchanges places that
// do each other's work so that its cords become shorter. A patch is never worth less
// after it.
package tidy

import (
	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/trial"
)

// Prune takes everything out of a draft without which the session is still
// given: what is new first, then what is in now; crosspoints before cords. It
// goes over the draft until nothing more can go. Where the crosspoints alone give the
// session, no plug stays: cords may each need the others, and the session none of them.
// Cords that are in only for what their plugs break become dummies, or hang from one
// jack, where that does.
func Prune(t *problem.Problem, d graph.Patch) graph.Patch {
	r := trial.New(t, d)
	if r.Wrong() > 0 {
		return d
	}
	if d.HoldsPlugs() && t.Gives(d.Switched()) {
		r, d = trial.New(t, d.Switched()), d.Switched()
	}
	for more := true; more; {
		more = false
		for _, p := range t.Parts(d) {
			out := r.WithGang(p)
			if out == nil {
				continue
			}
			if r.Change(out, nil); r.Wrong() == 0 && (!t.AsksForWays() || t.KeepsWays(r.Patch())) {
				more = true
				continue
			}
			r.Change(nil, out)
			more = instead(t, r, p) || more
		}
		d = r.Patch()
	}
	return d
}

// Complete completes a draft that gives the session; ok is false where the cords owned
// do not suffice, or one of them would be in for nothing but what its plugs break.
func Complete(t *problem.Problem, d graph.Patch) (f *objective.Candidate, ok bool) {
	if !t.Options.LeaveCords {
		if d = Prune(t, d); JustBreaks(t, d) {
			return nil, false
		}
	}
	return objective.Of(t, d)
}
