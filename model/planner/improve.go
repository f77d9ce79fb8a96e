package planner

import (
	"bayhand/model/planner/clause"
)

// improver makes an answer better step by step, without proof: it looks for one
// that pays nothing new and leaves out one cost after the other.
type improver struct {
	*search
	costs []cost
	paid  []bool
	limit int64
}

// improve makes the answer found last better as long as it can, with at most so
// much work.
func (s *search) improve(costs []cost, limit int64) {
	m := improver{search: s, costs: costs, limit: limit}
	m.keep()
	for better := true; better; {
		better = false
		for i := range m.costs {
			if m.paid[i] && m.solve(m.without(i), 2e6) {
				better = true
			}
		}
	}
}

// keep notes what the answer found last pays.
func (m *improver) keep() {
	m.paid = make([]bool, len(m.costs))
	for i, c := range m.costs {
		m.paid[i] = c.lit == clause.True || m.Value(c.lit)
	}
}

// without are the assumptions that cost i is not paid, nor any that is not now.
func (m *improver) without(i int) []clause.Lit {
	lits := []clause.Lit{m.costs[i].lit.Not()}
	for k, c := range m.costs {
		if !m.paid[k] {
			lits = append(lits, c.lit.Not())
		}
	}
	return lits
}

// solve keeps an answer that nothing refuses.
func (m *improver) solve(assumptions []clause.Lit, work int64) bool {
	for m.encoding.Work < m.limit {
		if m.encoding.Solve(assumptions, max(0, min(work, m.limit-m.encoding.Work))) != clause.Yes {
			return false
		}
		d := m.decode()
		if m.refine(d) {
			continue
		}
		if m.shelf.hall(d.Cords) != nil {
			if m.twins || !m.refineStock(d) {
				return false
			}
			continue
		}
		m.keep()
		m.see(m.hangSome(d))
		return true
	}
	return false
}
