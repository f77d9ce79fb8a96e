package exact

import (
	"context"
	"slices"

	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// Wish is one want or silence of a session.
type Wish struct {
	// Text is the want in words of the file, Key the place of its line in the session.
	Text, Key string
}

// Relaxed is a problem of which each want and silence is a choice.
type Relaxed struct {
	enc *encoding
	all []Wish
}

// Relax makes the clauses of a problem that may go without some of what is asked.
func Relax(ctx context.Context, p *problem.Problem) *Relaxed {
	e := newEncoding(p, scope{soft: true}, problem.Start(p))
	e.Stop = func() bool { return ctx.Err() != nil }
	return &Relaxed{e, Wishes(p)}
}

// Wishes are the wants, then the silences of the session.
func Wishes(p *problem.Problem) []Wish {
	var all []Wish
	for _, w := range p.Session.Wants {
		all = append(all, Wish{problem.WantText(w), w.Key})
	}
	for _, at := range p.Session.Silent {
		all = append(all, Wish{problem.SilenceText(at), "silent"})
	}
	return all
}

// lits are the literals of all wishes, in their order.
func (r *Relaxed) lits() []clause.Lit {
	return slices.Concat(r.enc.wantLits, r.enc.silentLits)
}

// FewestDropped finds a smallest set of wants and silences to do without, with so
// much work; nil if that was spent before.
func (r *Relaxed) FewestDropped(work int64) []Wish {
	e := r.enc
	o := newOptimum(e.Solver, e.Work+work)
	lits := r.lits()
	for _, l := range lits {
		o.add(l.Not(), weighing(0, 1), ungrouped)
	}
	for o.solve() == clause.Yes {
		if d := e.decode(); e.refusal.refine(d) || e.refusal.refineStock(d) {
			continue
		}
		var dropped []Wish
		for i, w := range r.all {
			if !e.Value(lits[i]) {
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
	var lits []clause.Lit
	for i, l := range r.lits() {
		if r.all[i] == w || slices.Contains(with, r.all[i]) {
			lits = append(lits, l)
		}
	}
	for r.enc.Solve(lits, workOfOne) == clause.Yes {
		if d := r.enc.decode(); !r.enc.refusal.refine(d) && !r.enc.refusal.refineStock(d) {
			return true
		}
	}
	return false
}
