package exact

import (
	"context"

	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// Wish is one want or silence of a session.
type Wish struct {
	lit clause.Lit
	// Text is the want in words of the file, Key the place of its line in the session.
	Text, Key string
}

// Relaxed is a problem of which each want and silence is a choice.
type Relaxed struct{ enc *encoding }

// Relax makes the clauses of a problem that may go without some of what is asked.
func Relax(ctx context.Context, p *problem.Problem) *Relaxed {
	e := newEncoding(p, true, p.Present)
	e.Stop = func() bool { return ctx.Err() != nil }
	return &Relaxed{e}
}

// Wishes are the wants, then the silences of the session.
func (r *Relaxed) Wishes() []Wish {
	var all []Wish
	for i, w := range r.enc.problem.Session.Wants {
		all = append(all, Wish{r.enc.wantLits[i], problem.WantText(w), w.Key})
	}
	for i, p := range r.enc.problem.Session.Silent {
		all = append(all, Wish{r.enc.silentLits[i], problem.SilenceText(p), "silent"})
	}
	return all
}

// FewestDropped finds a smallest set of wants and silences to do without, with so
// much work; nil if that was spent before.
func (r *Relaxed) FewestDropped(work int64) []Wish {
	e := r.enc
	o := newOptimum(e.Solver, e.Work+work)
	all := r.Wishes()
	for _, w := range all {
		o.add(w.lit.Not(), 1, ungrouped)
	}
	for o.solve() == clause.Yes {
		if d := e.decode(); e.refusal.refine(d) || e.refusal.refineStock(d) {
			continue
		}
		var dropped []Wish
		for _, w := range all {
			if !e.Value(w.lit) {
				dropped = append(dropped, w)
			}
		}
		return dropped
	}
	return nil
}

// workOfOne bounds the search for one set of wants together.
const workOfOne = 20e6

// CanBeHad says whether a want can be had together with others; false where it was
// not found out.
func (r *Relaxed) CanBeHad(w Wish, with ...Wish) bool {
	lits := []clause.Lit{w.lit}
	for _, k := range with {
		lits = append(lits, k.lit)
	}
	for r.enc.Solve(lits, workOfOne) == clause.Yes {
		if d := r.enc.decode(); !r.enc.refusal.refine(d) && !r.enc.refusal.refineStock(d) {
			return true
		}
	}
	return false
}
