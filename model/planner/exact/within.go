package exact

import (
	"context"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// RelaxWithin is Relax with what plans may have that leave out as few wants and silences as are
// asked for, nil for everything.
func RelaxWithin(ctx context.Context, p *problem.Problem, in *problem.Narrowed, like graph.Patch) *Relaxed {
	e := newEncoding(p, scope{soft: true, narrowed: in}, like)
	e.Stop = func() bool { return ctx.Err() != nil }
	return &Relaxed{e, Wishes(p)}
}

// DropsAtMost finds so many wants and silences, or fewer, to do without, none of which must not be interrupted
// where there are others; given is a patch that gives the rest. None says that there are none, where it is
// found out with so much work.
func (r *Relaxed) DropsAtMost(most int, work int64) (dropped []Wish, given graph.Patch, none bool) {
	r.enc.countOwned(most)
	var not, kept []clause.Lit
	for i, l := range r.lits() {
		not = append(not, l.Not())
		if wants := r.enc.problem.Session.Wants; i < len(wants) && wants[i].Keep {
			kept = append(kept, l)
		}
	}
	few, until := newCounter(r.enc.Solver, not).atLeast(most+1).Not(), r.enc.Work+work
	found, none := r.answer(append(kept, few), until)
	if none && len(kept) > 0 {
		found, none = r.answer([]clause.Lit{few}, until)
	}
	if found == nil {
		return nil, graph.Patch{}, none
	}
	return r.notGiven(), *found, false
}

// answer is a patch under some assumptions, nil where none is found until so much work is done; none says that
// there is none.
func (r *Relaxed) answer(assumptions []clause.Lit, until int64) (found *graph.Patch, none bool) {
	for {
		switch r.enc.Solve(assumptions, max(0, until-r.enc.Work)) {
		case clause.No:
			return nil, true
		case clause.Unknown:
			return nil, false
		case clause.Yes:
		}
		if d := r.enc.decode(); !r.enc.refusal.refine(d) && !r.enc.refusal.refineStock(d) {
			return &d, false
		}
	}
}
