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

// DropsAtMost finds so many wants and silences, or fewer, to do without; none says that there are none,
// where it is found out with so much work.
func (r *Relaxed) DropsAtMost(most int, work int64) (dropped []Wish, none bool) {
	var not []clause.Lit
	for _, l := range r.lits() {
		not = append(not, l.Not())
	}
	few := newCounter(r.enc.Solver, not).atLeast(most + 1).Not()
	for until := r.enc.Work + work; ; {
		switch r.enc.Solve([]clause.Lit{few}, max(0, until-r.enc.Work)) {
		case clause.No:
			return nil, true
		case clause.Unknown:
			return nil, false
		case clause.Yes:
		}
		if d := r.enc.decode(); !r.enc.refusal.refine(d) && !r.enc.refusal.refineStock(d) {
			return r.notGiven(), false
		}
	}
}
