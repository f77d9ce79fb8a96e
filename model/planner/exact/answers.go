package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/tidy"
	"bayhand/model/planner/trial"
)

// answers are those of a search, one after the other in one trial, so that to judge one costs by
// what differs from the one before.
type answers struct {
	problem *problem.Problem
	trial   *trial.Trial
	// known is a plan that answers differ little from, and that they have to be better than; nil
	// where they may be any.
	known *objective.Candidate
	// patch is the answer, and completed what it becomes without what it does not need, once that
	// is asked for; nil where that is no plan. Stripped is the same where it is none.
	patch     graph.Patch
	judged    bool
	completed *objective.Candidate
	stripped  graph.Patch
}

func newAnswers(p *problem.Problem, start graph.Patch) *answers {
	return &answers{problem: p, trial: trial.New(p, start)}
}

// after are the answers of a search that begins with a plan, in a trial that was used before; nil for a new one.
func after(r *trial.Trial, p *problem.Problem, known *objective.Candidate) *answers {
	if r == nil {
		r = trial.New(p, known.Patch)
	}
	r.Hold(known.Patch)
	return &answers{problem: p, trial: r, known: known}
}

// hold takes the next answer.
func (a *answers) hold(d graph.Patch) {
	if a.judged && slices.Equal(a.patch.Parts(), d.Parts()) {
		return
	}
	a.patch, a.judged, a.completed, a.stripped = d, false, nil, d
	a.trial.Hold(d)
}

// again is the trial with the answer as it was found.
func (a *answers) again() *trial.Trial {
	a.trial.Hold(a.patch)
	return a.trial
}

// complete completes the answer; nil where it is no plan.
func (a *answers) complete(best *objective.Candidate) *objective.Candidate {
	if a.judged {
		return a.completed
	}
	a.judged = true
	if a.trial.Wrong() > 0 {
		return nil
	}
	f, ok := a.tidied(best)
	a.stripped = a.trial.Patch()
	if ok && a.problem.Gives(f.Patch) {
		a.completed = f
	}
	return a.completed
}

func (a *answers) tidied(best *objective.Candidate) (f *objective.Candidate, ok bool) {
	if a.known == nil {
		return tidy.CompleteIn(a.problem, a.trial)
	}
	return tidy.CompleteFrom(a.problem, a.trial, a.known.Patch, &best.Score)
}
