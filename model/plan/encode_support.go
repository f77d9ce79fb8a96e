package plan

import (
	"bayhand/model/plan/clause"
)

// affordable is how many clauses may be spent on rings. Where more would be
// needed, distances are told apart only up to some depth, and rings of what is
// farther are left to refine.go.
const affordable = 400_000

// leaf says whether a node has at most one edge at a time and no driver of its
// own, so that no signal goes through it.
func (t *task) leaf(n int) bool {
	at := t.nodes[n]
	if len(t.always(n)) > 0 || len(at.ports) > 0 || len(at.normals) > 1 || t.relays(n) || t.lets(n) {
		return false
	}
	usable := nowhere
	for _, j := range at.jacks {
		if !t.usable(j) && !t.options.LeaveCords {
			continue
		}
		if usable != nowhere {
			return false
		}
		usable = j
	}
	return len(at.normals) == 0 || usable == nowhere || t.normals[at.normals[0]].breaks(usable)
}

// addSupport says that a driver comes to a node over some metal that ends
// there, from a node that is nearer to it, so that no ring feeds itself.
func (e *encoding) addSupport() {
	leaf := make([]bool, len(e.nodes))
	for n := range e.nodes {
		leaf[n] = e.leaf(n)
	}
	s := support{encoding: e, leaf: leaf, far: make([][]clause.Lit, len(e.nodes))}
	s.measure()
	for n := range e.nodes {
		if len(e.always(n)) == 0 {
			s.add(n)
		}
	}
}

type support struct {
	*encoding
	leaf []bool
	// far says of a node that it is at least 1, 2, 3 ... edges from its driver's,
	// up to depth; exact, where no node can be farther.
	far   [][]clause.Lit
	depth int
	exact bool
}

// measure chooses the depth.
func (s *support) measure() {
	nodes, pairs := 0, 1
	for n := range s.nodes {
		if len(s.always(n)) > 0 || s.leaf[n] {
			continue
		}
		nodes++
		for _, edge := range s.edges[n] {
			if len(s.always(edge.to)) == 0 && !s.leaf[edge.to] {
				pairs++
			}
		}
	}
	s.depth = max(min(nodes, affordable/pairs), 2)
	s.exact = s.depth >= nodes
}

func (s *support) add(n int) {
	// from are the edges over which a driver could come, with the literal that it
	// does.
	from := make([]edge, 0, len(s.edges[n]))
	for _, edge := range s.edges[n] {
		switch {
		case len(s.always(edge.to)) > 0:
			from = append(from, edge)
		case s.leaf[edge.to]:
		case s.leaf[n]:
			from = append(from, edge)
		default:
			from = append(from, s.nearer(n, edge))
		}
	}
	for i, k := range s.dom[n] {
		if s.ownDriver(n, k) {
			continue
		}
		lits := []clause.Lit{s.drive[n][i].Not()}
		for _, edge := range from {
			if s.driven(edge.to, k) != clause.False {
				lits = append(lits, edge.lit)
			}
		}
		s.Add(lits...)
	}
}

// nearer is true only where the edge is there and its other node is nearer to
// the driver.
func (s *support) nearer(n int, over edge) edge {
	l := s.Var()
	s.Add(l.Not(), over.lit)
	here, there := s.distance(n), s.distance(over.to)
	s.Add(l.Not(), here[0])
	for i := 1; i < s.depth; i++ {
		s.Add(l.Not(), there[i-1].Not(), here[i])
	}
	if s.exact {
		s.Add(l.Not(), there[s.depth-1].Not())
	}
	return edge{l, over.to}
}

func (s *support) distance(n int) []clause.Lit {
	if s.far[n] == nil {
		s.far[n] = s.ladder(s.depth)
	}
	return s.far[n]
}

// addAmplifierDepth counts the amplifiers that a signal has gone through, so
// that no ring of them feeds itself.
func (e *encoding) addAmplifierDepth() {
	depth := min(len(e.amplifiers), 24)
	exact := depth == len(e.amplifiers)
	through := map[int][]clause.Lit{} // by output
	for _, o := range e.amplifiers {
		through[o] = e.ladder(depth)
		e.Add(e.on[o].Not(), through[o][0])
	}
	at := map[int][]clause.Lit{} // by node
	for _, o := range e.amplifiers {
		for _, x := range e.outputs[o].crosses {
			if e.closed[x] == clause.False {
				continue
			}
			from := e.crosses[x].from
			if at[from] == nil {
				at[from] = e.depthAt(from, depth, through)
			}
			for i := 1; i < depth; i++ {
				e.Add(e.closed[x].Not(), at[from][i-1].Not(), through[o][i])
			}
			if exact {
				e.Add(e.closed[x].Not(), at[from][depth-1].Not())
			}
		}
	}
}

// ladder makes literals of which each implies the one before.
func (e *encoding) ladder(n int) []clause.Lit {
	lits := make([]clause.Lit, n)
	for i := range lits {
		lits[i] = e.Var()
		if i > 0 {
			e.Add(lits[i].Not(), lits[i-1])
		}
	}
	return lits
}

func (e *encoding) depthAt(n, depth int, through map[int][]clause.Lit) []clause.Lit {
	lits := e.ladder(depth)
	for i, k := range e.dom[n] {
		if _, ok := e.source(k); ok {
			continue
		}
		for d, l := range through[e.amplifier(k)] {
			e.Add(e.drive[n][i].Not(), l.Not(), lits[d])
		}
	}
	return lits
}
