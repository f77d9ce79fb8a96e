package studio

import (
	"slices"

	"bayhand/model/name"
)

// BayNamed is the bay of a name; nil where there is none. Like the others it takes time
// linear in what it looks through: who asks for many makes a map.
func (s *Studio) BayNamed(called string) *Bay {
	at := slices.IndexFunc(s.Bays, func(b Bay) bool { return b.Name == called })
	if at < 0 {
		return nil
	}
	return &s.Bays[at]
}

// GearNamed is the gear of a name; nil where there is none.
func (s *Studio) GearNamed(called string) *Gear {
	at := slices.IndexFunc(s.Gear, func(g Gear) bool { return g.Name == called })
	if at < 0 {
		return nil
	}
	return &s.Gear[at]
}

// Label is what is printed on a bay, a matrix or gear of a name: its label, else the name.
func (s *Studio) Label(called string) string {
	label := ""
	if b := s.BayNamed(called); b != nil {
		label = b.Label
	} else if m := s.MatrixNamed(called); m != nil {
		label = m.Label
	} else if g := s.GearNamed(called); g != nil {
		label = g.Label
	}
	if label == "" {
		return called
	}
	return label
}

// PortAt is the port of gear at a point; false where there is none.
func (s *Studio) PortAt(p name.Point) (Port, bool) {
	g := s.GearNamed(p.Owner)
	if g == nil {
		return Port{}, false
	}
	at := slices.IndexFunc(g.Ports, func(q Port) bool { return q.Point == p })
	if at < 0 {
		return Port{}, false
	}
	return g.Ports[at], true
}

// PortsByPoint are the ports of all gear, for who asks for many.
func (s *Studio) PortsByPoint() map[name.Point]Port {
	all := map[name.Point]Port{}
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			all[p.Point] = p
		}
	}
	return all
}

// Ends are the outputs or the inputs of all gear, in the order of the file.
func (s *Studio) Ends(d Direction) []name.Point {
	var all []name.Point
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			if p.Direction == d {
				all = append(all, p.Point)
			}
		}
	}
	return all
}

// PanelNumber is a program as the panel of the gear counts it, from 0 or from 1, of the
// program as it goes over the wire. No gear, and gear without MIDI, counts from 0.
func (g *Gear) PanelNumber(program int) int {
	if g == nil || g.MIDI == nil {
		return program
	}
	return program + g.MIDI.First
}

// MatrixNamed is the matrix of a name; nil where there is none.
func (s *Studio) MatrixNamed(called string) *Matrix {
	at := slices.IndexFunc(s.Matrices, func(m Matrix) bool { return m.Name == called })
	if at < 0 {
		return nil
	}
	return &s.Matrices[at]
}

// IsJack says whether a point is a jack of a bay.
func (s *Studio) IsJack(p name.Point) bool {
	b := s.BayNamed(p.Owner)
	return b != nil && b.HasJack(p)
}

// HasJack says whether a point is one of the bay's jacks.
func (b Bay) HasJack(p name.Point) bool {
	return p.Number >= 1 && p.Number <= b.Pairs() && (p == b.TopJack(p.Number) || p == b.BottomJack(p.Number))
}
