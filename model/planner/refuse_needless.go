package planner

import (
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// refuseNeedless adds clauses that refuse an answer for what it holds and does not
// need, and says whether it found any. Each says: as long as everything around a
// part is as it is here, the part is not needed. Around it is all that hears
// something else without it, and all that comes after that.
func (e *encoding) refuseNeedless(d, stripped graph.Patch) bool {
	if len(e.task.override) > 0 || e.task.asksForWays() {
		return false
	}
	r := e.task.try(d)
	if r.wrong() > 0 {
		return false
	}
	found := false
	for _, p := range graph.Without(d.Parts(), stripped.Parts()) {
		if lits := e.needless(r, p); lits != nil {
			e.Add(lits...)
			found = true
		}
	}
	return found
}

// needless is the clause that refuses one part of an answer; nil where the part
// is needed as long as all others are there, or where that is hard to say.
func (e *encoding) needless(r *trial, p graph.Part) []clause.Lit {
	l := e.partLit(p)
	if l == clause.False || p.Kind == graph.Cross && len(e.Ganged[p.A]) > 0 {
		return nil
	}
	around := map[int]bool{}
	r.addNets(around, r.touched(p))
	r.change([]graph.Part{p}, nil)
	needed := r.wrong() > 0
	r.addNets(around, r.touched(p))
	r.addOnward(around)
	r.change(nil, []graph.Part{p})
	if needed {
		return nil
	}
	same := e.sameAround(around, l)
	if same == nil {
		return nil
	}
	lits := append(same, l.Not())
	for _, j := range p.Jacks() {
		for _, m := range e.Jacks[j].Normals {
			if other := e.task.OtherEnd(m, j); e.Normals[m].Breaks(other) {
				lits = append(lits, e.differs(e.plug[other]))
			}
		}
	}
	return lits
}

// partLit is the literal of a part.
func (e *encoding) partLit(p graph.Part) clause.Lit {
	switch p.Kind {
	case graph.Cord:
		if p.B == graph.None {
			return e.loose[p.A]
		}
		return e.cord([2]int{p.A, p.B})
	case graph.Lead:
		for _, at := range e.leadsAt[p.B] {
			if e.leads[at].port == p.A {
				return e.leads[at].lit
			}
		}
	case graph.Dummy:
		return e.dummy[p.A]
	case graph.Cross:
		return e.closed[p.A]
	case graph.HeldNormal:
		return e.hold[p.A]
	}
	return clause.False
}

// touched are the nodes that a part joins or parts.
func (r *trial) touched(p graph.Part) []int {
	var nodes []int
	for _, j := range p.Jacks() {
		nodes = append(nodes, r.Jacks[j].Node)
		for _, m := range r.Jacks[j].Normals {
			nodes = append(nodes, r.Jacks[r.task.OtherEnd(m, j)].Node)
		}
	}
	switch p.Kind {
	case graph.Lead:
		nodes = append(nodes, r.Node[r.Ports[p.A]])
	case graph.Cross:
		nodes = append(nodes, r.Crosses[p.A].From, r.Outputs[r.Crosses[p.A].Output].Node)
	case graph.Cord, graph.Dummy:
	}
	return nodes
}

// addNets adds all nodes that are on the nets of some.
func (r *trial) addNets(set map[int]bool, nodes []int) {
	for _, n := range nodes {
		for _, m := range r.state.NodesOf(r.state.NetOf(n)) {
			set[m] = true
		}
	}
}

// addOnward adds all nodes that a signal on some comes to, through amplifiers and
// through gear.
func (r *trial) addOnward(set map[int]bool) {
	nodes := slices.Sorted(maps.Keys(set))
	for i := 0; i < len(nodes); i++ {
		add := func(at int) {
			for _, m := range r.state.NodesOf(at) {
				if !set[m] {
					set[m] = true
					nodes = append(nodes, m)
				}
			}
		}
		at := r.state.NetOf(nodes[i])
		r.state.EachFollowing(at, add)
		r.state.EachOnward(r.feedback, at, add)
	}
}

// sameAround are literals of which one is true where anything around is not as it
// is in the answer found last, but for one literal; nil where that is hard to say.
func (e *encoding) sameAround(nodes map[int]bool, but clause.Lit) []clause.Lit {
	lits := []clause.Lit{}
	add := func(l clause.Lit) {
		if l != but && l != clause.True && l != clause.False {
			lits = append(lits, e.differs(l))
		}
	}
	for _, n := range slices.Sorted(maps.Keys(nodes)) {
		for _, edge := range e.edges[n] {
			add(edge.lit)
		}
		for _, x := range e.Nodes[n].Ins {
			add(e.closed[x])
		}
		for _, o := range e.Nodes[n].Outputs {
			if e.Outputs[o].Relay {
				continue
			}
			add(e.on[o])
			if !e.Value(e.on[o]) {
				continue
			}
			carried := e.carriedIn(o)
			if carried == clause.False {
				return nil
			}
			add(carried)
		}
	}
	slices.Sort(lits)
	return slices.Compact(lits)
}

// carriedIn is the literal of what an output carries in the answer found last.
func (e *encoding) carriedIn(o int) clause.Lit {
	for _, s := range e.task.wanted {
		if l := e.carries[o][s]; e.Value(l) {
			return l
		}
	}
	return clause.False
}

// differs is true where a literal is not what it is in the answer found last.
func (e *encoding) differs(l clause.Lit) clause.Lit {
	if e.Value(l) {
		return l.Not()
	}
	return l
}
