package planner

import (
	"bayhand/model/planner/bound"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
)

// fewestLeftOut is a smallest set of wants and silences without which the rest can be given, where that is
// found with little work; nil where it is not. How many have to be left out at least is said by prices,
// and which, mostly too: those without which the rest costs least. Else a search finds them, or that more
// have to be.
func (m trying) fewestLeftOut() []exact.Wish {
	if len(m.problem.Jacks) > problem.Small {
		return nil
	}
	for least := m.leastLeftOut(); ; least++ {
		var owned *bound.Owned
		if least, owned = leavingOf(m.making, least); owned == nil {
			return nil
		}
		few := m.cheapestLeft(owned)
		rest := m.leavingHastily(few)
		if rest.best == nil {
			found, given, none := exact.RelaxWithin(m.ctx, m.problem, owned.Within(owned.Most), startAt(rest)).DropsAtMost(least, sooner*3/2)
			switch {
			case none:
				continue
			case found == nil:
				return nil
			}
			like := m.problem.Named(given)
			m.like = &like
			few, rest = found, m.leaving(found)
		}
		if rest.best == nil {
			return nil
		}
		m.like = &rest.best.Target
		return few
	}
}

// leavingOf is how many wants and silences have to be left out at least, so many or more, and what plans
// may have that leave out no more; nil where that is not known, or it is all that is asked.
func leavingOf(m *making, least int) (int, *bound.Owned) {
	jacks := int64(len(m.problem.Jacks))
	for ; least < len(exact.Wishes(m.problem)); least++ {
		if owned, none := bound.OfOwnedLeaving(m.ctx, m.problem, least, looksToRaise*jacks*jacks); !none {
			return least, owned
		}
	}
	return least, nil
}

// leastLeftOut is how many are known to have to be left out, by counting.
func (m trying) leastLeftOut() int {
	if m.proof == nil {
		return 1
	}
	return m.proof.LeftOut
}

// cheapestLeft are wants to leave out, of those that save as much the last ones, and none that must not be
// interrupted where there are others.
func (m trying) cheapestLeft(owned *bound.Owned) []exact.Wish {
	wants := m.problem.Session.Wants
	var left []exact.Wish
	for _, w := range owned.Leave(func(w int) int {
		if wants[w].Keep {
			return w - len(wants)*len(wants)
		}
		return w
	}) {
		left = append(left, exact.Wish{Text: problem.WantText(wants[w]), Key: wants[w].Key})
	}
	return left
}
