package scope

import (
	"maps"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// metal is which places are joined for good, or by plugs and contacts. Normals join
// nothing here: a plug parts them, so that nobody holds a place by one. Places are
// numbered: those of the building first, then others as they come in.
type metal struct {
	building *Building
	above    []int
	points   []name.Point // those that came in
	more     map[name.Point]int
}

// solder joins what no patch can part: wires, ties, mults and parallel pairs.
func (m *metal) solder(s *studio.Studio) {
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
	relays := map[string]bool{}
	for _, one := range s.Matrices {
		relays[one.Name] = one.Kind == studio.Contacts
	}
	for _, c := range p.Crosspoints {
		if relays[c.Output.Owner] {
			m.join(c.Output, c.Input)
		}
	}
}

func (m *metal) join(a, b name.Point) {
	x, y := m.of(a), m.of(b)
	m.above[max(x, y)] = min(x, y)
}

// of is the number of the metal that a place is part of.
func (m *metal) of(p name.Point) int { return m.root(m.numbered(p)) }

// numbered is the number of a place, which comes in with it.
func (m *metal) numbered(p name.Point) int {
	if n, ok := m.building.number[p]; ok {
		return n
	}
	n, ok := m.more[p]
	if !ok {
		n = len(m.above)
		m.more[p] = n
		m.points = append(m.points, p)
		m.above = append(m.above, n)
	}
	return n
}

func (m *metal) root(n int) int {
	for m.above[n] != n {
		m.above[n] = m.above[m.above[n]]
		n = m.above[n]
	}
	return n
}

// copy is a metal that can be joined further without changing m.
func (m *metal) copy() *metal {
	return &metal{building: m.building, above: slices.Clone(m.above), points: slices.Clone(m.points), more: maps.Clone(m.more)}
}

// size is how many places are numbered.
func (m *metal) size() int { return len(m.above) }

// place is one of them, with the number of its room; -1 for none.
func (m *metal) place(n int) (p name.Point, room int) {
	if b := m.building; n < len(b.points) {
		return b.points[n], b.room[n]
	}
	p = m.points[n-len(m.building.points)]
	return p, m.building.roomOf(p)
}
