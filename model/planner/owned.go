package planner

import (
	"bayhand/model/graph"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
)

// ownsTooLittle says whether every plan has more in than is owned, by prices, so that there is
// none. Where that is to be explained, it is looked for what counting says. In large rooms it is not
// asked: there, prices take long.
func (m *making) ownsTooLittle() bool {
	if m.priced || len(m.problem.Jacks) > problem.Small {
		return false
	}
	m.priced = true
	jacks := int64(len(m.problem.Jacks))
	owned, none := bound.OfOwned(m.ctx, m.problem, looksToRaise*jacks*jacks)
	if m.owned = owned; !none {
		return false
	}
	if m.impossible = true; !m.unexplained {
		m.provedByCounting(longCount)
	}
	return true
}

// fit finds any plan of what may be in by what is owned, or that there is none.
func (m *making) fit() {
	if m.ownsTooLittle() || m.owned == nil {
		return
	}
	found := m.findOwned(quickly, startAt(m))
	if m.best, m.impossible = found.Best, found.Impossible; m.impossible && !m.unexplained {
		m.provedByCounting(longCount)
	}
}

// findOwned looks for any plan, first for one with as few plugs as the bound says, since such a
// plan may have the least, then for one with more, up to what is owned. The patches that are looked at
// first are like a draft.
func (m *making) findOwned(work int64, draft graph.Patch) exact.Outcome {
	for plugs := m.owned.Least; ; plugs += 2 {
		in, most := m.owned.About(min(plugs, m.owned.Most))
		plugs = most
		found := exact.Ask(m.ctx, m.problem, in, draft).Any(work)
		if found.Best != nil || plugs == m.owned.Most {
			return found
		}
		if work -= found.Work; found.Stopped {
			return found
		}
	}
}
