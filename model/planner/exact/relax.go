package exact

import (
	"context"
	"slices"

	"bayhand/model/graph"
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

// Relax makes the clauses of a problem that may go without some of what is asked. The first patches
// that are looked at are like one.
func Relax(ctx context.Context, p *problem.Problem, like graph.Patch) *Relaxed {
	e := newEncoding(p, scope{soft: true}, like)
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
		return r.notGiven()
	}
	return nil
}

// FewerDropped finds a smaller set of wants and silences to do without, one that is smaller than so
// many and as small as can be, or as is found with so much work; nil for none. So few as least are
// known to be needed.
func (r *Relaxed) FewerDropped(than, least int, work int64) (dropped []Wish) {
	e, lits := r.enc, r.lits()
	if len(lits) <= least {
		return nil
	}
	var not []clause.Lit
	for _, l := range lits {
		not = append(not, l.Not())
	}
	e.countOwned(than - 1)
	count := newCounter(e.Solver, not)
	for until := e.Work + work; than > least && e.Solve([]clause.Lit{count.atLeast(than).Not()}, max(0, until-e.Work)) == clause.Yes; {
		if d := e.decode(); e.refusal.refine(d) || e.refusal.refineStock(d) {
			continue
		}
		dropped = r.notGiven()
		than = len(dropped)
	}
	return dropped
}

// notGiven is what the answer that was found last does without.
func (r *Relaxed) notGiven() []Wish {
	var dropped []Wish
	for i, l := range r.lits() {
		if !r.enc.Value(l) {
			dropped = append(dropped, r.all[i])
		}
	}
	return dropped
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
