package matrix

import "slices"

// Gang has the matrix move some outputs together, each list in its order: where the
// first listens to an input, the second listens to the one after it. It is for before
// the first change.
func (m *Matrix) Gang(gangs ...[]Output) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.gangs = gangs
}

// GangOf are the outputs that move with one, itself among them, and its place there
// from 0; nil for one that moves alone.
func (m *Matrix) GangOf(o Output) (gang []Output, place int) {
	for _, gang := range m.gangs {
		if place := slices.Index(gang, o); place >= 0 {
			return gang, place
		}
	}
	return nil, 0
}

// Split says whether the outputs of a gang listen to inputs that do not belong
// together.
func (m *Matrix) Split(o Output) bool {
	gang, _ := m.GangOf(o)
	for place, output := range gang {
		for i := Input(1); int(i) <= m.inputs; i++ {
			first := i - Input(place)
			if m.Closed(Crosspoint{output, i}) && !m.Closed(Crosspoint{gang[0], first}) || place > 0 && m.Closed(Crosspoint{gang[0], i}) && !m.Closed(Crosspoint{output, i + Input(place)}) {
				return true
			}
		}
	}
	return false
}

// ganged are crosspoints with those that move with them; input 0, off, is off for all.
// What the matrix has not does not move.
func (m *Matrix) ganged(list []Crosspoint) []Crosspoint {
	if len(m.gangs) == 0 {
		return list
	}
	var all []Crosspoint
	add := func(c Crosspoint) {
		if !slices.Contains(all, c) {
			all = append(all, c)
		}
	}
	for _, c := range list {
		add(c)
		gang, at := m.GangOf(c.Output)
		for place, output := range gang {
			with := Crosspoint{output, c.Input - Input(at) + Input(place)}
			if c.Input == 0 {
				with.Input = 0
			}
			if c.Input == 0 || m.Has(with) {
				add(with)
			}
		}
	}
	return all
}

// splitting is splits for one who does not hold mu.
func (m *Matrix) splitting() bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.splits()
}

// splits counts a change that was asked for over the line and says whether the fault
// has it move only the outputs that it names; the caller holds mu.
func (m *Matrix) splits() bool {
	m.ganging++
	return m.faults.Split > 0 && m.ganging%m.faults.Split == 0
}
