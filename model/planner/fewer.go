package planner

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
)

// fewerLeftOut is a smallest set of wants and silences to leave out, where it is smaller
// than what was left out one after the other and is found with little work; else nil.
func (m trying) fewerLeftOut() []exact.Wish {
	fewer := m.takenBack(m.dropped, m.proof.LeftOut)
	if len(fewer) > m.proof.LeftOut {
		if found := exact.Relax(m.ctx, m.problem, startOf(m.making)).FewerDropped(len(fewer), m.proof.LeftOut, m.workForFewer()); found != nil {
			fewer = m.takenBack(found, m.proof.LeftOut)
		}
	}
	if len(fewer) == len(m.dropped) {
		return nil
	}
	return fewer
}

// workForFewer is less in small rooms, where as much was spent on it before (fewestLeftOut).
func (m trying) workForFewer() int64 {
	if len(m.problem.Jacks) > problem.Small {
		return quickly
	}
	return sooner
}

// takenBack is what was left out, less what is possible once the rest of it is left out. So much as
// least is known to be needed.
func (m trying) takenBack(left []exact.Wish, least int) []exact.Wish {
	for i := 0; len(left) > least && i < len(left); {
		less := slices.Delete(slices.Clone(left), i, i+1)
		if rest := m.leaving(less); rest != nil && rest.best != nil {
			left = less
			m.like = &rest.best.Target
			continue
		}
		i++
	}
	return left
}

// leaving is any plan for the session without some of what it asks for, or that there is none.
func (m trying) leaving(some []exact.Wish) *making {
	rest := m.toLeave(some)
	rest.findQuickly(shortCount, quickly/4)
	return rest
}

// leavingHastily is leaving, with little work: it may leave undecided what leaving finds out.
func (m trying) leavingHastily(some []exact.Wish) *making {
	rest := m.toLeave(some)
	rest.hasty = true
	rest.findQuickly(shortCount, sooner/4)
	return rest
}

// toLeave begins a plan without some of what is asked.
func (m trying) toLeave(some []exact.Wish) *making {
	less := only(m.problem, func(text string) bool {
		return !slices.ContainsFunc(some, func(w exact.Wish) bool { return w.Text == text })
	})
	rest, err := newMaking(m.ctx, m.problem.Room, m.problem.From, less, m.problem.Options)
	if err != nil {
		return &making{problem: m.problem, ctx: m.ctx, impossible: true} // no patch that could be in
	}
	rest.problem.Options.Progress, rest.unexplained, rest.like = nil, true, m.like
	return rest
}

// explainEach says of each of what is left out why it cannot be had beside the rest: by
// counting, and where that proves nothing, by trying.
func (m trying) explainEach(dropped []exact.Wish) []plan.Missing {
	var all []plan.Missing
	var tried *exact.Relaxed
	for _, w := range dropped {
		with := only(m.problem, func(text string) bool {
			return text == w.Text || !slices.ContainsFunc(dropped, func(d exact.Wish) bool { return d.Text == text })
		})
		one, err := newMaking(m.ctx, m.problem.Room, m.problem.From, with, m.problem.Options)
		if err == nil {
			one.wholly, one.alike = m.wholly, m.proof
		}
		if err == nil && m.proof != nil && one.provedByCounting(longCount) {
			if asked := askedIn(one.problem, one.proof); slices.Contains(asked, w) {
				without := slices.DeleteFunc(slices.Clone(dropped), func(d exact.Wish) bool { return d == w })
				all = append(all, counting{one}.missing(w, asked, without))
				continue
			}
		}
		if tried == nil {
			tried = exact.Relax(m.ctx, m.problem, startOf(m.making))
		}
		missing := m.why(tried, w, dropped)
		missing.Proof = plan.ByTrying
		all = append(all, missing)
	}
	return all
}
