package cut

import (
	"math/bits"

	"bayhand/model/graph"
)

// leftOut is how many wants and silences have to be left out at least, before what is asked
// costs no more by these prices than all there is. To leave one out saves what its demand costs
// less without it, and the normals that are broken for it. All inputs are taken for such of which
// nothing is asked, so that it is true whatever else is left out.
func leftOut(m *market) int {
	m.soft = true
	defer func() { m.soft = false }()
	need, have := m.sums(m.demands)
	s := savings{market: m, wants: make([]float64, len(m.problem.Session.Wants)), inputs: make([]float64, len(m.Points)), most: []float64{0}}
	for i := range m.demands {
		if d := &m.demands[i]; d.normal != graph.None {
			s.addBreak(d)
		}
	}
	for i := range m.demands {
		if d := &m.demands[i]; d.normal == graph.None {
			s.add(s.ofSource(d))
		}
	}
	for _, saved := range append(s.wants, s.inputs...) {
		if saved > 0 {
			s.add([]float64{0, saved})
		}
	}
	n := 1
	for n < len(s.most)-1 && need-s.most[n] > have*(1+margin) {
		n++
	}
	return n
}

// savings are what is saved at most by leaving out none, one, two and so on.
type savings struct {
	market *market
	// wants and inputs are what each want by number, and each silence by its input, saves at
	// normals; of what is reckoned with in most, nothing.
	wants, inputs []float64
	most          []float64
}

// addBreak says for which wants and silences a normal may have to be broken.
func (s *savings) addBreak(d *demand) {
	m := s.market
	cost, _ := m.cheapest(d)
	for _, j := range []int{m.Normals[d.normal].A, m.Normals[d.normal].B} {
		for _, in := range m.Nodes[m.Jacks[j].Node].Inputs {
			for _, w := range m.problem.Asks[in].Wants {
				s.wants[w] += cost
			}
			if m.problem.Asks[in].Silent {
				s.inputs[in] += cost
			}
		}
	}
}

// ofSource is what is saved of one source, by how many of its wants are left out.
func (s *savings) ofSource(d *demand) []float64 {
	whole, _ := s.market.cheapest(d)
	most := make([]float64, len(d.wants)+1)
	for kept := range 1 << len(d.wants) {
		saved := whole - s.market.tree.costOf(kept)
		for i, w := range d.wants {
			if kept>>i&1 == 0 {
				saved += s.wants[w]
			}
		}
		left := len(d.wants) - bits.OnesCount(uint(kept))
		most[left] = max(most[left], saved)
	}
	for _, w := range d.wants {
		s.wants[w] = 0
	}
	return most
}

// add reckons with what some more wants save, by how many of them are left out.
func (s *savings) add(more []float64) {
	sum := make([]float64, len(s.most)+len(more)-1)
	for i, one := range s.most {
		for k, other := range more {
			sum[i+k] = max(sum[i+k], one+other)
		}
	}
	s.most = sum
}
