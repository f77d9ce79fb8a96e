package graph

import "slices"

// Step is a part that a way goes along, and the node that it leads to.
type Step struct {
	Part Part
	To   int
}

// EachLink calls f with each node that metal joins to one, and by what.
func (s *State) EachLink(n int, f func(by Part, to int)) {
	g := s.Graph
	for _, m := range g.Nodes[n].Normals {
		if s.Holds(m) {
			f(Part{HeldNormal, m, 0}, g.Across(m, n))
		}
	}
	for _, l := range s.loose[n] {
		f(g.part(l), g.Node[l.a]+g.Node[l.b]-n)
	}
}

// part is a link by the numbers of a patch.
func (g *Graph) part(l link) Part {
	switch l.kind {
	case Cord:
		ends := Ordered([2]int{g.JackAt[l.a], g.JackAt[l.b]})
		return Part{Cord, ends[0], ends[1]}
	case Lead:
		if port := g.PortAt[l.a]; port != None {
			return Part{Lead, port, g.JackAt[l.b]}
		}
		return Part{Lead, g.PortAt[l.b], g.JackAt[l.a]}
	case Cross:
		in, out := l.a, l.b
		if g.Kinds[in] == MatrixOutput {
			in, out = out, in
		}
		x, _ := g.anyCross(g.OutputOf[g.Points[out]], in)
		return Part{Cross, x, 0}
	case Dummy, HeldNormal:
	}
	return Part{}
}

// Path is a shortest way by metal from a node to one that will do; nil if there
// is none.
func (s *State) Path(from int, there func(n int) bool) []Step {
	type came struct {
		by   Part
		from int
	}
	seen := map[int]came{from: {from: None}}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		if there(n) {
			var way []Step
			for n != from {
				way = append(way, Step{seen[n].by, n})
				n = seen[n].from
			}
			slices.Reverse(way)
			return way
		}
		s.EachLink(n, func(by Part, to int) {
			if _, ok := seen[to]; !ok {
				seen[to] = came{by, n}
				queue = append(queue, to)
			}
		})
	}
	return nil
}

// WayFrom is a way from a node back to a source that is heard there, through
// amplifiers; nil where it stands at the node itself.
func (s *State) WayFrom(node, source int) []Step {
	g := s.Graph
	var way []Step
	for range len(g.Outputs) + 1 {
		at := g.Node[g.Sources[source]]
		if s.net[at] == s.net[node] {
			return append(way, s.Path(node, func(n int) bool { return n == at })...)
		}
		x := feeding(s, node, source)
		if x == None {
			return way
		}
		c := g.Crosses[x]
		way = append(way, s.Path(node, func(n int) bool { return n == g.Outputs[c.Output].Node })...)
		way = append(way, Step{Part{Cross, x, 0}, c.From})
		node = c.From
	}
	return way
}

// feeding is a closed crosspoint of an amplifier that brings a source to the net
// of a node; None if none does.
func feeding(s *State, node, source int) int {
	g := s.Graph
	for _, n := range s.nets[s.net[node]].nodes {
		for _, o := range g.Nodes[n].Outputs {
			if g.Outputs[o].Relay {
				continue
			}
			for _, x := range s.behind[o] {
				if _, ok := slices.BinarySearch(s.nets[s.net[g.Crosses[x].From]].heard, source); ok {
					return x
				}
			}
		}
	}
	return None
}

// OwnersOf are the bays and boxes, or the matrix, that a part of a way goes
// through.
func (g *Graph) OwnersOf(p Part) []string {
	switch p.Kind {
	case Cord:
		return []string{g.Owner(p.A), g.Owner(p.B)}
	case Lead:
		return []string{g.Owner(p.B)}
	case HeldNormal:
		return []string{g.Owner(g.Normals[p.A].A), g.Owner(g.Normals[p.A].B)}
	case Cross:
		return []string{g.Outputs[g.Crosses[p.A].Output].Matrix}
	case Dummy:
	}
	return nil
}

// ComesTo is the one source that comes to a node, through amplifiers; None where
// none does, or outputs are joined on the way.
func (s *State) ComesTo(node int) int {
	g := s.Graph
	for range len(g.Outputs) + 1 {
		drivers := s.DriversOn(s.net[node])
		if len(drivers) != 1 {
			break
		}
		if source, ok := g.SourceAt(drivers[0]); ok {
			return source
		}
		behind := s.behind[g.Amplifier(drivers[0])]
		if len(behind) == 0 {
			break
		}
		node = g.Crosses[behind[0]].From
	}
	return None
}

// Carried is the source that comes out of an amplifier's output; None if none
// does.
func (s *State) Carried(o int) int {
	if len(s.behind[o]) == 0 {
		return None
	}
	return s.ComesTo(s.Graph.Crosses[s.behind[o][0]].From)
}

// Mic says whether anything at microphone level or with phantom power is on a net.
func (s *State) Mic(net int) bool {
	return slices.ContainsFunc(s.nets[net].nodes, func(n int) bool { return s.Graph.Nodes[n].Mic })
}
