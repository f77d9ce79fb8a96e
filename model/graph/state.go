package graph

import "slices"

// State is a graph with a patch in it: the nets that the patch makes of the nodes,
// and what is heard on each. After a change only the nets that it touches, and
// those that they lead to, are looked at again, so that a change costs no more in
// a large studio than in a small one. It is for one user while it changes.
type State struct {
	Graph *Graph
	// plugged counts the plugs at each point: one, in a patch that was read.
	plugged []int
	// loose are the cords, leads and closed relays at each node.
	loose [][]link
	// behind are the closed crosspoints of each output; ahead, by node, those of
	// amplifiers that begin there.
	behind, ahead [][]int
	net           []int // of each node
	nets          []net
	unused        []int // numbers of nets, to be taken again
	contended     int   // nets that more than one output drives
	marks         []bool
	scratch       scratch
}

// scratch is room for what a change goes through, to be used again by the next.
type scratch struct{ touched, nodes, gone, made, reached, stale, queue, leading []int }

// net is the nodes that one patch makes one.
type net struct {
	nodes   []int
	drivers int
	heard   []int // sources, in order
}

// link is metal that a patch makes between two points.
type link struct {
	kind Kind
	a, b int
}

// Contents are what goes into a state or out of it: plugs in jacks and ports, as
// points; metal between points; crosspoints.
type Contents struct {
	plugs   []int
	links   []link
	crosses []int
}

// Hear computes every net of a patch and what is heard on it. It takes time
// linear in the size of the studio, and in what is heard behind matrices.
func (g *Graph) Hear(c Contents) *State {
	s := &State{
		Graph: g, plugged: make([]int, len(g.Points)), loose: make([][]link, len(g.Nodes)),
		behind: make([][]int, len(g.Outputs)), ahead: make([][]int, len(g.Nodes)),
		net: make([]int, len(g.Nodes)), nets: make([]net, 0, len(g.Nodes)),
	}
	s.put(c, nil)
	all := make([]int, len(g.Nodes))
	for i := range all {
		all[i], s.net[i] = i, None
	}
	s.listen(s.gather(all))
	return s
}

// Change takes out and puts in, as one change. What is not in is left alone. It
// returns the numbers of the nets that are no more, and of those that are new or
// hear something that was computed again; a number can be in both. They stand until the
// next change.
func (s *State) Change(out, in Contents) (gone, stale []int) {
	r := &s.scratch
	r.touched = s.take(out, r.touched[:0])
	r.touched = s.put(in, r.touched)
	r.nodes, r.gone = r.nodes[:0], r.gone[:0]
	for _, n := range r.touched {
		if old := s.net[n]; old != None {
			r.gone = append(r.gone, old)
			r.nodes = append(r.nodes, s.dissolve(old)...)
		}
	}
	made := s.gather(r.nodes)
	s.unused = append(s.unused, r.gone...)
	return r.gone, s.listen(made)
}

// Contended says in constant time whether any two outputs are joined.
func (s *State) Contended() bool { return s.contended > 0 }

// dissolve takes a net apart into nodes that are in none.
func (s *State) dissolve(at int) []int {
	gone := s.nets[at]
	for _, n := range gone.nodes {
		s.net[n] = None
	}
	if gone.drivers > 1 {
		s.contended--
	}
	s.nets[at] = net{}
	return gone.nodes
}

// gather makes new nets of nodes that are in none, and returns their numbers.
func (s *State) gather(nodes []int) []int {
	r := &s.scratch
	r.made = r.made[:0]
	for _, start := range nodes {
		if s.net[start] != None {
			continue
		}
		at := s.newNet()
		r.made = append(r.made, at)
		s.net[start] = at
		r.reached = append(r.reached[:0], start)
		for i := 0; i < len(r.reached); i++ {
			reachFrom(s, r.reached[i], at)
		}
		s.nets[at].nodes = slices.Clone(r.reached)
		countDrivers(s, at)
	}
	return r.made
}

// reachFrom adds to a net each node that metal joins to one and that is in none.
func reachFrom(s *State, n, at int) {
	g, reached := s.Graph, s.scratch.reached
	for _, m := range g.Nodes[n].Normals {
		if to := g.Across(m, n); s.net[to] == None && s.Holds(m) {
			s.net[to] = at
			reached = append(reached, to)
		}
	}
	for _, l := range s.loose[n] {
		if to := g.Node[l.a] + g.Node[l.b] - n; s.net[to] == None {
			s.net[to] = at
			reached = append(reached, to)
		}
	}
	s.scratch.reached = reached
}

func (s *State) newNet() int {
	if last := len(s.unused) - 1; last >= 0 {
		at := s.unused[last]
		s.unused = s.unused[:last]
		return at
	}
	s.nets = append(s.nets, net{})
	return len(s.nets) - 1
}

// Holds says whether a normal holds.
func (s *State) Holds(m int) bool {
	n := &s.Graph.Normals[m]
	return !(n.BreaksA && s.plugged[s.Graph.Jacks[n.A].Point] > 0) && !(n.BreaksB && s.plugged[s.Graph.Jacks[n.B].Point] > 0)
}

func countDrivers(s *State, at int) {
	count := 0
	for _, n := range s.nets[at].nodes {
		node := &s.Graph.Nodes[n]
		count += len(node.Sources)
		for _, o := range node.Outputs {
			if s.Drives(o) {
				count++
			}
		}
	}
	s.nets[at].drivers = count
	if count > 1 {
		s.contended++
	}
}

// Drives says whether an output of a matrix drives its node: one of an amplifier
// always does, unless it is of high impedance while it has no crosspoint.
func (s *State) Drives(o int) bool {
	out := &s.Graph.Outputs[o]
	return !out.Relay && (!out.HighImpedance || len(s.behind[o]) > 0)
}

// TakenOver says whether an input hears nothing, since something is plugged into a
// socket that takes it over: a lead, or a cable that is wired there for good.
func (s *State) TakenOver(input int) bool {
	g := s.Graph
	return slices.ContainsFunc(g.Overrides[input], func(front int) bool {
		return s.plugged[front] > 0 || len(g.Nodes[g.Node[front]].Points) > 1
	})
}

// EachJoint calls f with each cord, lead and closed relay that is in.
func (s *State) EachJoint(f func(j Joint)) {
	by := map[Kind]string{Cord: ByCord, Lead: ByLead, Cross: ByCrosspoint}
	for n, links := range s.loose {
		for _, l := range links {
			// Metal between two nodes stands at both.
			if n == s.Graph.Node[l.a] {
				f(Joint{l.a, l.b, by[l.kind]})
			}
		}
	}
}
