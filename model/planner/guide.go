package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/route"
	"bayhand/model/planner/tidy"
)

// guide looks for a plan by the prices of the bound, in rooms that are larger than small ones, and takes the
// better of that and the one that is known.
func (m *making) guide() {
	defer func() { m.raised = bound.Raised{} }() // which is large
	switch {
	case m.impossible || m.best != nil && m.best.Reaches(m.least):
	case m.isByPrices():
		m.findByPrices()
	case m.best != nil && len(m.problem.Jacks) > problem.Small:
		m.best = better(m.best, m.rebuiltAlone(m.guided()))
	}
}

// isByPrices says whether a plan is looked for by prices before all else is tried: in large rooms.
func (m *making) isByPrices() bool {
	return len(m.problem.Jacks) > exact.LargeRoom && !m.problem.Options.LeaveCords && len(m.problem.Ganged) == 0 && !slices.Contains(m.without, "guide")
}

// findByPrices finds a plan in a large room, and builds parts of it otherwise. Where prices find none, or none that is
// near the bound, one is built as in smaller rooms, and drafts by prices are made beside it.
func (m *making) findByPrices() {
	first := m.best
	guided := m.guided()
	if first == nil && guided == nil {
		m.routeAll()
		if first = m.best; first != nil {
			guided = m.guided()
		}
	}
	m.best = m.rebuilt(guided, first)
	if first == nil && m.best != nil && m.best.Score.Plugs*100 > m.least*farFromBound {
		guided = m.best
		m.routeAll()
		m.best = better(guided, m.rebuilt(m.best, nil))
	}
	if m.best == nil && !m.impossible && !m.provedByCounting(longCount) {
		m.best = exact.Repair(m.ctx, m.problem, m.nearest, m.problem.Options.Work()/4)
	}
}

const (
	// drafts is how many are made beside a plan that is known.
	drafts = 4
	// fewLacking is with how many sources something is wrong at most in a draft that is repaired.
	fewLacking = 3
	// farFromBound is how many plugs a plan handles, in parts of a hundred of the bound, for which another is
	// built; farFromBest of a better plan, beside which it is left as it is.
	farFromBound, farFromBest = 120, 115
)

// guided is a plan by a draft that prices lead to; nil for none. Beside a plan that is known, sources with which
// something was wrong in a draft have the ways of that plan in the next, as have those without a new cord
// there. Otherwise one source alone with which something was wrong comes first in another draft.
func (m *making) guided() *objective.Candidate {
	known := m.nearest
	if m.best != nil {
		known = m.best.Patch
	}
	var kept, first []int
	if m.hard != nil {
		kept = append(m.withoutNewCords(m.best.Patch), m.hard...)
	}
	for range drafts {
		d, ok := m.raised.Draft(known, kept, first)
		if !ok || m.ctx.Err() != nil {
			return nil
		}
		found, nearest, lacking := route.Follow(m.ctx, m.problem, d, func() { objective.Tell(m.problem, 0, m.least, m.best) })
		if m.hard = lacking; found == nil && m.best == nil && len(lacking) <= fewLacking {
			found = m.repairSoon(nearest)
		}
		switch {
		case found != nil:
			return found
		case m.best == nil && (first != nil || len(lacking) > 1):
			return nil
		case m.best == nil:
			first = lacking
		case kept == nil:
			kept = append(m.withoutNewCords(m.best.Patch), lacking...)
		default:
			kept = append(kept, lacking...)
		}
	}
	return nil
}

// withoutNewCords are the sources that are heard wherever that is asked, in a draft, without a new cord.
func (m *making) withoutNewCords(d graph.Patch) []int {
	state := m.problem.State(d)
	has := map[int]bool{}
	for _, p := range graph.Without(d.Parts(), m.problem.Present.Parts()) {
		if p.Kind == graph.Cord {
			for _, s := range state.HeardOn(state.NetOf(m.problem.Jacks[p.A].Node)) {
				has[s] = true
			}
		}
	}
	for _, w := range m.problem.Session.Wants {
		if s := m.problem.SourceOf[w.Source]; !slices.Contains(state.HeardAt(m.problem.Number[w.Destination]), s) {
			has[s] = true
		}
	}
	return slices.DeleteFunc(slices.Clone(m.problem.Wanted), func(s int) bool { return has[s] })
}

// rebuilt is the better of two plans, each with parts built otherwise; either may be nil. One that handles far
// more plugs than the other is left out.
func (m *making) rebuilt(f, g *objective.Candidate) *objective.Candidate {
	if better(f, g) != f {
		f, g = g, f
	}
	f = m.rebuiltAlone(f)
	if g == nil || g.Score.Plugs*100 > f.Score.Plugs*farFromBest {
		return f
	}
	return better(f, m.rebuiltAlone(g))
}

// rebuiltAlone is a plan with parts built otherwise, and places exchanged that do each other's work, which
// often lets a cord stay or be moved by one end.
func (m *making) rebuiltAlone(f *objective.Candidate) *objective.Candidate {
	if f == nil || f.Reaches(m.least) {
		return f
	}
	return tidy.Straighten(m.problem, route.Rebuild(m.ctx, m.problem, f, m.least))
}

// better is the better of two plans, the first where they are alike; nil where both are.
func better(f, g *objective.Candidate) *objective.Candidate {
	if f == nil || g != nil && g.Score.Less(f.Score) {
		return g
	}
	return f
}

// estimate is about how many plugs a plan handles, by the draft that is nearest to one.
func (m *making) estimate() int {
	plugs := m.least
	if f, ok := objective.Of(m.problem, m.nearest); ok {
		plugs = max(plugs, f.Score.Plugs)
	}
	state, lacking := m.problem.State(m.nearest), 0
	for _, w := range m.problem.Session.Wants {
		if !slices.Contains(state.HeardAt(m.problem.Number[w.Destination]), m.problem.SourceOf[w.Source]) {
			lacking++
		}
	}
	return plugs + plugsByWant*lacking
}

// plugsByWant is about how many plugs a want takes.
const plugsByWant = 3
