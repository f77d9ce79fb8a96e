// Package tidy leaves out of a patch what it does not need, and exchanges places that
// do each other's work so that its cords become shorter. A patch is never worth less
// after it.
package tidy

import (
	"slices"

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
	return prune(t, r, nil)
}

// prune is Prune in a trial with nothing wrong, of what is near, and returns what the trial holds then.
func prune(t *problem.Problem, r *trial.Trial, at near) graph.Patch {
	d := r.Patch()
	if at == nil && unplug(t, r, d) {
		d = d.Switched()
	}
	for more := true; more; {
		more = false
		for _, p := range t.Parts(d) {
			if at.has(r, p) && goesWithout(t, r, p) {
				more = true
				at.add(r, p)
			}
		}
		d = r.Patch()
	}
	return d
}

// goesWithout takes a part out of a trial where it is not needed, or puts less in its place.
func goesWithout(t *problem.Problem, r *trial.Trial, p graph.Part) bool {
	out := r.WithGang(p)
	if out == nil {
		return false
	}
	if r.Change(out, nil); gives(t, r) {
		return true
	}
	r.Change(nil, out)
	return instead(t, r, p)
}

// unplug pulls everything that is plugged where the crosspoints alone give the session.
func unplug(t *problem.Problem, r *trial.Trial, d graph.Patch) bool {
	if !d.HoldsPlugs() {
		return false
	}
	plugs := graph.Patch{Cords: d.Cords, Leads: d.Leads, Dummies: d.Dummies}.Parts()
	if r.Change(plugs, nil); gives(t, r) {
		return true
	}
	r.Change(nil, plugs)
	return false
}

// gives says whether a trial gives the session by the ways that it asks for.
func gives(t *problem.Problem, r *trial.Trial) bool {
	return r.Wrong() == 0 && (!t.AsksForWays() || t.KeepsWays(r.Patch()))
}

// Complete completes a draft that gives the session; ok is false where the cords owned
// do not suffice, or one of them would be in for nothing but what its plugs break.
func Complete(t *problem.Problem, d graph.Patch) (f *objective.Candidate, ok bool) {
	return CompleteIn(t, trial.New(t, d))
}

// CompleteIn is Complete for the draft that a trial holds, from which it takes what the
// session does not need.
func CompleteIn(t *problem.Problem, r *trial.Trial) (f *objective.Candidate, ok bool) {
	if t.Options.LeaveCords {
		return objective.Of(t, r.Patch())
	}
	return complete(t, r, nil, nil)
}

// complete completes what is near in a trial. Where a score is given, ok is false as well for
// what is not worth more.
func complete(t *problem.Problem, r *trial.Trial, at near, than *objective.Score) (f *objective.Candidate, ok bool) {
	if r.Wrong() == 0 {
		prune(t, r, at)
	}
	d := r.Patch()
	if slices.ContainsFunc(d.Parts(), func(p graph.Part) bool { return at.has(r, p) && JustBreaks(t, r, p) }) {
		return nil, false
	}
	return objective.Better(t, d, than)
}
