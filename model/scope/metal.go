package scope

import (
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// metal is which places are joined for good, or by plugs and contacts. Normals join
// nothing here: a plug parts them, so that nobody holds a place by one.
type metal struct {
	number map[name.Point]int
	above  []int
}

// soldered is what no patch can part: wires, ties, mults and parallel pairs.
func soldered(s *studio.Studio) *metal {
	m := &metal{number: map[name.Point]int{}}
	for _, w := range s.Wires {
		m.join(w.From, w.To)
	}
	for _, t := range s.Ties {
		m.join(t.A, t.B)
	}
	for _, all := range s.Mults {
		for _, p := range all.Jacks {
			m.join(all.Jacks[0], p)
		}
	}
	for _, b := range s.Bays {
		for i, mode := range b.Modes {
			if mode == studio.Parallel {
				m.join(b.TopJack(i+1), b.BottomJack(i+1))
			}
		}
	}
	return m
}

// plug joins what a patch joins: by cords, leads and closed contacts.
func (m *metal) plug(s *studio.Studio, p patch.Patch) {
	for _, c := range p.Cords {
		if !c.B.IsZero() {
			m.join(c.A, c.B)
		}
	}
	for _, l := range p.Leads {
		m.join(l.Port, l.Jack)
	}
	for _, c := range p.Crosspoints {
		if contacts(s, c.Output.Owner) {
			m.join(c.Output, c.Input)
		}
	}
}

func contacts(s *studio.Studio, matrix string) bool {
	for _, m := range s.Matrices {
		if m.Name == matrix {
			return m.Kind == studio.Contacts
		}
	}
	return false
}

// copy is a metal that can be joined further without changing m.
func (m *metal) copy() *metal {
	c := &metal{number: make(map[name.Point]int, len(m.number)), above: make([]int, len(m.above))}
	for p, n := range m.number {
		c.number[p] = n
	}
	copy(c.above, m.above)
	return c
}

func (m *metal) join(a, b name.Point) {
	x, y := m.of(a), m.of(b)
	m.above[max(x, y)] = min(x, y)
}

// of is the number of the metal that a place is part of.
func (m *metal) of(p name.Point) int {
	n, ok := m.number[p]
	if !ok {
		n = len(m.above)
		m.number[p] = n
		m.above = append(m.above, n)
	}
	for m.above[n] != n {
		m.above[n] = m.above[m.above[n]]
		n = m.above[n]
	}
	return n
}
