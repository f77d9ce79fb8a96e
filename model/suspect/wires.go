package suspect

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/studio"
)

// mostWires is how many are looked at for each part that nothing else explains.
const mostWires = 600

// byWire looks for a wire at the rear that is dead, or has its end exchanged with
// the next one of the same gear.
func byWire(c *Scene, only map[int]Class) []explanation {
	s := c.Room.Studio()
	if len(s.Wires) > mostWires {
		return nil
	}
	g := group{}
	for i, w := range s.Wires {
		dead := mistake(WireOther, w.From, w.To)
		dead.room = wired(c, s, slices.Delete(slices.Clone(s.Wires), i, i+1))
		for _, m := range append([]Mistake{dead}, crossed(c, s, i)...) {
			if changes := shown(c.differences(c.predict(m, nil)), only); len(changes) == len(only) && wasRead(changes, only) {
				g.changes, g.members = changes, append(g.members, m)
			}
		}
	}
	if len(g.members) == 0 {
		return nil
	}
	return []explanation{{[]group{g}, g.cost()}}
}

func crossed(c *Scene, s *studio.Studio, i int) []Mistake {
	if i+1 == len(s.Wires) {
		return nil
	}
	a, b := s.Wires[i], s.Wires[i+1]
	if a.From.Owner != b.From.Owner || a.To.Owner != b.To.Owner {
		return nil
	}
	wires := slices.Clone(s.Wires)
	wires[i].To, wires[i+1].To = b.To, a.To
	m := mistake(WireOther, a.From, a.To, b.From, b.To)
	m.room = wired(c, s, wires)
	return []Mistake{m}
}

// wired is the room with other wires.
func wired(c *Scene, s *studio.Studio, wires []studio.Wire) *heard.Room {
	other := *s
	other.Wires = wires
	return heard.NewRoom(&other)
}
