package plan

import (
	"bayhand/model/plan/clause"
)

// leaf says whether a node has at most one edge at a time and no driver of its
// own, so that no signal goes through it: one jack whose plug breaks all that
// ends there, or one output of a relay matrix.
func (t *task) leaf(n int) bool {
	at := t.nodes[n]
	if len(t.always(n)) > 0 || len(at.ports) > 0 || t.lets(n) {
		return false
	}
	var jacks []int
	for _, j := range at.jacks {
		if t.usable(j) || t.options.LeaveCords {
			jacks = append(jacks, j)
		}
	}
	if t.relays(n) {
		return len(jacks) == 0 && len(at.normals) == 0 && t.oneRelay(n)
	}
	switch len(at.normals) {
	case 0:
		return len(jacks) <= 1
	case 1:
		return len(jacks) == 0 || len(jacks) == 1 && t.normals[at.normals[0]].breaks(jacks[0])
	}
	return false
}

// oneRelay says whether one output is all that relays have at a node.
func (t *task) oneRelay(n int) bool {
	for _, x := range t.nodes[n].ins {
		if t.outputs[t.crosses[x].output].relay {
			return false
		}
	}
	relays := 0
	for _, o := range t.nodes[n].outputs {
		if t.outputs[o].relay {
			relays++
		}
	}
	return relays == 1
}

// addSupport says that a driver comes to a node over some metal that ends
// there, from a node that can lead on. Rings that feed themselves are found in
// the answers (rings.go).
func (e *encoding) addSupport() {
	for n := range e.nodes {
		e.isLeaf = append(e.isLeaf, e.leaf(n))
	}
	for n := range e.nodes {
		if len(e.always(n)) > 0 {
			continue
		}
		for i, k := range e.dom[n] {
			if e.ownDriver(n, k) {
				continue
			}
			lits := []clause.Lit{e.drive[n][i].Not()}
			for _, edge := range e.edges[n] {
				if !e.isLeaf[edge.to] && e.driven(edge.to, k) != clause.False {
					lits = append(lits, edge.lit)
				}
			}
			e.Add(lits...)
		}
	}
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
