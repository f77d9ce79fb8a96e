package check

import (
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/patch"
)

// shelved says how many cords of a patch the stock can be at the same time, each
// owned cord being one of them: the largest matching, by augmenting paths. It
// takes time of the cords times the kinds of stock for each cord.
func (v *view) shelved(cords []patch.Cord) int {
	m := matching{view: v, cords: cords, holds: make([][]int, len(v.studio.Stock.Cords))}
	placed := 0
	for i := range cords {
		if m.place(i, make([]bool, len(m.holds))) {
			placed++
		}
	}
	return placed
}

// matching gives each cord a kind of stock, and each kind no more cords than are
// owned of it.
type matching struct {
	*view
	cords []patch.Cord
	holds [][]int // the cords of each kind
}

// place finds a kind for a cord, and other kinds for cords that make room.
func (m *matching) place(cord int, tried []bool) bool {
	for kind, s := range m.studio.Stock.Cords {
		if tried[kind] || !m.canBe(m.cords[cord], kind) {
			continue
		}
		tried[kind] = true
		if len(m.holds[kind]) < s.Count {
			m.holds[kind] = append(m.holds[kind], cord)
			return true
		}
		for slot, other := range m.holds[kind] {
			if m.place(other, tried) {
				m.holds[kind][slot] = cord
				return true
			}
		}
	}
	return false
}

// canBe says whether a cord of a patch can be one of a kind of stock. A cord
// that hangs loose needs a plug for its one jack.
func (m *matching) canBe(c patch.Cord, kind int) bool {
	s := m.studio.Stock.Cords[kind]
	if c.Length > 0 && c.Length != s.Length {
		return false
	}
	far, need := c.B, measure.Length(0)
	if !far.IsZero() {
		way, ok := layout.Distance(m.studio, c.A, far)
		if !ok {
			return true // a jack that is gone is for another rule
		}
		need = way + m.studio.Stock.Slack
		return s.Length >= need && layout.Fits(s.Ends, m.jackOf(c.A), m.jackOf(far))
	}
	return layout.Fits(s.Ends, m.jackOf(c.A), s.Ends[0]) || layout.Fits(s.Ends, m.jackOf(c.A), s.Ends[1])
}
