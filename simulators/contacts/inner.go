package contacts

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// takenOver is the metal that listens behind an input: the input itself, or,
// where a socket at the front takes it over, a circuit behind a switching
// contact of that socket.
func (b *Panel) takenOver(g studio.Gear, rear name.Point, m metal, s *studio.Studio, p patch.Patch) metal {
	for _, steal := range g.Overrides {
		if steal.Rear != rear {
			continue
		}
		circuit := metal{b.network.Node(), b.network.Node(), ground}
		if !inUse(steal.Front, s, p) {
			b.network.Resistor(m.tip, circuit.tip, contactResistance)
			b.network.Resistor(m.ring, circuit.ring, contactResistance)
		}
		m = circuit
		b.circuits[rear] = circuit
	}
	return m
}

// inUse says whether a plug is in a socket of gear: that of a lead, or of a
// cable that stays.
func inUse(socket name.Point, s *studio.Studio, p patch.Patch) bool {
	return slices.ContainsFunc(p.Leads, func(l patch.Lead) bool { return l.Port == socket }) ||
		slices.ContainsFunc(s.Wires, func(w studio.Wire) bool { return w.To == socket || w.From == socket })
}

// listening is the metal at which a point is heard.
func (b *Panel) listening(p name.Point) metal {
	if circuit, ok := b.circuits[p]; ok {
		return circuit
	}
	return b.metal[p]
}

// inner notes what gear carries from its inputs to its outputs. A switch lets
// only the ports of its first choice through.
func (b *Panel) inner(g studio.Gear) {
	for _, p := range g.Passes {
		if through(g, p.In) && through(g, p.Out) {
			b.passes[p.Out] = append(b.passes[p.Out], p.In)
		}
	}
}

// through says whether every switch that a port is on stands where it is.
func through(g studio.Gear, port name.Point) bool {
	for _, s := range g.Selects {
		on := slices.ContainsFunc(s.Choices, func(c []name.Point) bool { return slices.Contains(c, port) })
		if on && !slices.Contains(s.Choices[0], port) {
			return false
		}
	}
	return true
}
