package graph

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// Contents are what a patch puts into the studio. Points that the studio does not
// have are left out, and cords and leads with them, but for the plugs at the ends
// that it has.
func (g *Graph) Contents(p patch.Patch) Contents {
	var c Contents
	plugs := p.Plugs()
	for _, l := range p.Leads {
		plugs = append(plugs, l.Port)
	}
	for _, at := range plugs {
		if n, ok := g.Number[at]; ok {
			c.plugs = append(c.plugs, n)
		}
	}
	link := func(k Kind, p, q name.Point) {
		a, okA := g.Number[p]
		b, okB := g.Number[q]
		if okA && okB {
			c.links = append(c.links, newLink(k, a, b))
		}
	}
	for _, cord := range p.Cords {
		link(Cord, cord.A, cord.B)
	}
	for _, l := range p.Leads {
		link(Lead, l.Port, l.Jack)
	}
	for _, one := range p.Crosspoints {
		if o, ok := g.OutputOf[one.Output]; ok {
			if in, ok := g.Number[one.Input]; ok {
				if x, ok := g.anyCross(o, in); ok {
					c.crosses = append(c.crosses, x)
				}
			}
		}
	}
	return c
}

func newLink(k Kind, a, b int) link { return link{k, min(a, b), max(a, b)} }

// Add adds a part to what goes in or out.
func (c *Contents) Add(g *Graph, p Part) {
	switch p.Kind {
	case Cord:
		a := g.Jacks[p.A].Point
		c.plugs = append(c.plugs, a)
		if p.B != None {
			b := g.Jacks[p.B].Point
			c.plugs = append(c.plugs, b)
			c.links = append(c.links, newLink(Cord, a, b))
		}
	case Lead:
		port, jack := g.Ports[p.A], g.Jacks[p.B].Point
		c.plugs = append(c.plugs, port, jack)
		c.links = append(c.links, newLink(Lead, port, jack))
	case Dummy:
		c.plugs = append(c.plugs, g.Jacks[p.A].Point)
	case Cross:
		c.crosses = append(c.crosses, p.A)
	case HeldNormal:
	}
}

// Reset empties it, to be filled again.
func (c *Contents) Reset() { c.plugs, c.links, c.crosses = c.plugs[:0], c.links[:0], c.crosses[:0] }

// put puts in, and adds the nodes that it touches to a list.
func (s *State) put(c Contents, touched []int) []int {
	for _, p := range c.plugs {
		s.plugged[p]++
		touched = s.touch(p, touched)
	}
	for _, l := range c.links {
		touched = s.putLink(l, touched)
	}
	for _, x := range c.crosses {
		o := s.Graph.Crosses[x].Output
		s.behind[o] = append(s.behind[o], x)
		if l, relay := s.relay(x); relay {
			touched = s.putLink(l, touched)
			continue
		}
		from := s.Graph.Crosses[x].From
		s.ahead[from] = append(s.ahead[from], x)
		touched = append(touched, s.Graph.Outputs[o].Node)
	}
	return touched
}

// take is the inverse of put; what is not in is left alone.
func (s *State) take(c Contents, touched []int) []int {
	for _, p := range c.plugs {
		if s.plugged[p] > 0 {
			s.plugged[p]--
			touched = s.touch(p, touched)
		}
	}
	for _, l := range c.links {
		touched = s.takeLink(l, touched)
	}
	for _, x := range c.crosses {
		o := s.Graph.Crosses[x].Output
		s.behind[o] = without(s.behind[o], x)
		if l, relay := s.relay(x); relay {
			touched = s.takeLink(l, touched)
			continue
		}
		from := s.Graph.Crosses[x].From
		s.ahead[from] = without(s.ahead[from], x)
		touched = append(touched, s.Graph.Outputs[o].Node)
	}
	return touched
}

// without leaves out the first of a list that is one.
func without[T comparable](list []T, one T) []T {
	if at := slices.Index(list, one); at >= 0 {
		return slices.Delete(list, at, at+1)
	}
	return list
}

// touch adds the nodes at both ends of each normal of a jack, and those of the
// inputs that a socket takes over.
func (s *State) touch(point int, touched []int) []int {
	g := s.Graph
	if j := g.JackAt[point]; j != None {
		for _, m := range g.Jacks[j].Normals {
			touched = append(touched, g.Jacks[g.Normals[m].A].Node, g.Jacks[g.Normals[m].B].Node)
		}
	}
	for _, rear := range g.Overridden[point] {
		touched = append(touched, g.Node[rear])
	}
	return touched
}

// relay is the metal of a closed crosspoint, and whether it is metal.
func (s *State) relay(x int) (link, bool) {
	c := s.Graph.Crosses[x]
	o := &s.Graph.Outputs[c.Output]
	return newLink(Cross, c.Input, o.Point), o.Relay
}

func (s *State) putLink(l link, touched []int) []int {
	a, b := s.Graph.Node[l.a], s.Graph.Node[l.b]
	s.loose[a] = append(s.loose[a], l)
	if a != b {
		s.loose[b] = append(s.loose[b], l)
	}
	return append(touched, a, b)
}

func (s *State) takeLink(l link, touched []int) []int {
	a, b := s.Graph.Node[l.a], s.Graph.Node[l.b]
	s.loose[a] = without(s.loose[a], l)
	if a != b {
		s.loose[b] = without(s.loose[b], l)
	}
	return append(touched, a, b)
}
