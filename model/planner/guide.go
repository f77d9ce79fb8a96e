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
	"bayhand/model/session"
)

// guide looks for a plan by the prices of the bound, in rooms that are larger than small ones, and takes the
// better of that and the one that is known.
func guide(m *making) {
	defer func() { m.raised = bound.Raised{} }() // which is large
	g := &guided{made: m}
	switch {
	case m.impossible || m.best != nil && m.best.Reaches(m.least):
	case startsByPrices(m):
		g.findAny()
	case m.best != nil && len(m.problem.Jacks) > problem.Small:
		m.best = better(m.best, g.rebuilt(g.find()))
	}
}

// startsByPrices says whether a plan is looked for by prices before all else is tried: in large rooms.
func startsByPrices(m *making) bool {
	return len(m.problem.Jacks) > exact.LargeRoom && !m.problem.Options.LeaveCords && len(m.problem.Ganged) == 0 && !slices.Contains(m.without, "guide")
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

// guided is the search for a plan by prices.
type guided struct {
	made *making
	// hard are the sources with which something was wrong in the last draft.
	hard []int
}

// findAny finds a plan in a large room, and builds parts of it otherwise. Where prices find none, or none that is
// near the bound, one is built as in smaller rooms, and drafts by prices are made beside it.
func (g *guided) findAny() {
	m := g.made
	first, found := m.best, g.find()
	if first == nil && found == nil {
		build(m)
		if first = m.best; first != nil {
			found = g.find()
		}
	}
	m.best = g.betterRebuilt(found, first)
	if first == nil && m.best != nil && m.best.Score.Plugs*100 > m.least*farFromBound {
		found = m.best
		build(m)
		m.best = better(found, g.rebuilt(m.best))
	}
	if m.best == nil && !m.impossible && !m.provedByCounting(longCount) {
		m.best = exact.Repair(m.ctx, m.problem, m.nearest, m.problem.Options.Work()/4)
	}
}

// find is a plan by a draft that prices lead to; nil for none. Beside a plan that is known, sources with which
// something was wrong in a draft have the ways of that plan in the next, as have those without a new cord
// there. Otherwise one source alone with which something was wrong comes first in another draft.
func (g *guided) find() *objective.Candidate {
	m := g.made
	known := m.nearest
	if m.best != nil {
		known = m.best.Patch
	}
	var kept, first []int
	if g.hard != nil {
		kept = append(withoutNewCords(m.problem, known), g.hard...)
	}
	for range drafts {
		d, ok := m.raised.Draft(known, kept, first)
		if !ok || m.ctx.Err() != nil {
			return nil
		}
		found, nearest, lacking := route.Follow(m.ctx, m.problem, d, func() { objective.Tell(m.problem, 0, m.least, m.best) })
		g.hard = lacking
		oneLacks := m.best == nil && first == nil && len(lacking) == 1
		if found == nil && m.best == nil && !oneLacks && len(lacking) <= fewLacking {
			found = m.repairSoon(nearest)
		}
		switch {
		case found != nil || m.best == nil && !oneLacks:
			return found
		case oneLacks:
			first = lacking
		case kept == nil:
			kept = append(withoutNewCords(m.problem, known), lacking...)
		default:
			kept = append(kept, lacking...)
		}
	}
	return nil
}

// withoutNewCords are the sources that are heard wherever that is asked, in a draft, without a new cord.
func withoutNewCords(p *problem.Problem, d graph.Patch) []int {
	state := p.State(d)
	has := map[int]bool{}
	for _, part := range graph.Without(d.Parts(), p.Present.Parts()) {
		if part.Kind == graph.Cord {
			for _, s := range state.HeardOn(state.NetOf(p.Jacks[part.A].Node)) {
				has[s] = true
			}
		}
	}
	for _, w := range lackingIn(p, state) {
		has[p.SourceOf[w.Source]] = true
	}
	return slices.DeleteFunc(slices.Clone(p.Wanted), func(s int) bool { return has[s] })
}

// lackingIn are the wants that are not heard.
func lackingIn(p *problem.Problem, state *graph.State) []session.Want {
	return slices.DeleteFunc(slices.Clone(p.Session.Wants), func(w session.Want) bool {
		return slices.Contains(state.HeardAt(p.Number[w.Destination]), p.SourceOf[w.Source])
	})
}

// betterRebuilt is the better of two plans, each with parts built otherwise; either may be nil. One that handles far
// more plugs than the other is left out.
func (g *guided) betterRebuilt(one, other *objective.Candidate) *objective.Candidate {
	if better(one, other) != one {
		one, other = other, one
	}
	one = g.rebuilt(one)
	if other == nil || other.Score.Plugs*100 > one.Score.Plugs*farFromBest {
		return one
	}
	return better(one, g.rebuilt(other))
}

// rebuilt is a plan with parts built otherwise, and places exchanged that do each other's work, which
// often lets a cord stay or be moved by one end.
func (g *guided) rebuilt(f *objective.Candidate) *objective.Candidate {
	m := g.made
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
func estimate(m *making) int {
	plugs := m.least
	if f, ok := objective.Of(m.problem, m.nearest); ok {
		plugs = max(plugs, f.Score.Plugs)
	}
	return plugs + plugsByWant*len(lackingIn(m.problem, m.problem.State(m.nearest)))
}

// plugsByWant is about how many plugs a want takes.
const plugsByWant = 3
