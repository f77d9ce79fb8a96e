package planner

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/model/planner/exact"
)

// fewerLeftOut is a smallest set of wants and silences to leave out, where it is smaller
// than what was left out one after the other and is found with little work; else nil.
func (m *making) fewerLeftOut() []exact.Wish {
	if len(m.dropped) <= m.proof.LeftOut {
		return nil
	}
	found := exact.Relax(m.ctx, m.problem).FewestDropped(2 * quickly)
	if found == nil || len(found) >= len(m.dropped) {
		return nil
	}
	return found
}

// explainEach says of each of what is left out why it cannot be had beside the rest: by
// counting, and where that proves nothing, by trying.
func (m *making) explainEach(dropped []exact.Wish) []plan.Missing {
	var all []plan.Missing
	var tried *exact.Relaxed
	for _, w := range dropped {
		with := only(m.problem, func(text string) bool {
			return text == w.Text || !slices.ContainsFunc(dropped, func(d exact.Wish) bool { return d.Text == text })
		})
		one, err := newMaking(m.ctx, m.problem.Room, m.problem.From, with, m.problem.Options)
		if err == nil {
			one.wholly = m.wholly
		}
		if err == nil && one.provedByCounting(longCount) {
			if asked := askedIn(one.problem, one.proof); slices.Contains(asked, w) {
				without := slices.DeleteFunc(slices.Clone(dropped), func(d exact.Wish) bool { return d == w })
				all = append(all, counting{one}.missing(w, asked, without))
				continue
			}
		}
		if tried == nil {
			tried = exact.Relax(m.ctx, m.problem)
		}
		missing := m.why(tried, w, dropped)
		missing.Proof = plan.ByTrying
		all = append(all, missing)
	}
	return all
}
