package plan

import (
	"bayhand/model/plan/clause"
)

// improver makes an answer better step by step, without proof: it looks for one
// that pays nothing new and leaves out one cost after the other.
type improver struct {
	*search
	costs []cost
	paid  []bool
	limit int64
}

// improve looks for a first answer and makes it better as long as it can, with
// at most so much work.
func (s *search) improve(costs []cost, limit int64) {
	m := improver{search: s, costs: costs, limit: limit}
	if !m.solve(nil, limit-s.encoding.Work) {
		return
	}
	for better := true; better; {
		better = false
		for i := range m.costs {
			if m.paid[i] && m.solve(m.without(i), 2e6) {
				better = true
			}
		}
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
		if m.encoding.Solve(assumptions, min(work, m.limit-m.encoding.Work)) != clause.Yes {
			return false
		}
		d := m.decode()
		if m.refine(d) {
			continue
		}
		m.paid = make([]bool, len(m.costs))
		for i, c := range m.costs {
			m.paid[i] = c.lit == clause.True || m.Value(c.lit)
		}
		m.consider(d, nil)
		return true
	}
	return false
}
