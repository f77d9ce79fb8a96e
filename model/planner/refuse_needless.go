package planner

import (
	"slices"

	"bayhand/model/planner/clause"
	"bayhand/model/session"
)

// refuseNeedless adds clauses that refuse an answer for what it holds and does not
// need, and says whether it found any. Each says: as long as everything around a
// part is as it is here, the part is not needed. Around it is all that hears
// something else without it, and all that comes after that.
func (e *encoding) refuseNeedless(d, stripped draft) bool {
	if len(e.front) > 0 || slices.ContainsFunc(e.session.Wants, func(w session.Want) bool { return len(w.Via)+len(w.Avoid) > 0 }) {
		return false
	}
	r := e.try(d)
	if r.wrong() > 0 {
		return false
	}
	found := false
	for _, p := range without(d.parts(), stripped.parts()) {
		if lits := e.needless(r, p); lits != nil {
			e.Add(lits...)
			found = true
		}
	}
	return found
}

// needless is the clause that refuses one part of an answer; nil where the part
// is needed as long as all others are there, or where that is hard to say.
func (e *encoding) needless(r *trial, p part) []clause.Lit {
	l := e.partLit(p)
	if l == clause.False || p.kind == crossPart && len(e.fellows[p.a]) > 0 {
		return nil
	}
	around := map[int]bool{}
	r.addNets(around, r.touched(p))
	r.change([]part{p}, nil)
	needed := r.wrong() > 0
	r.addNets(around, r.touched(p))
	r.addOnward(around)
	r.change(nil, []part{p})
	if needed {
		return nil
	}
	same := e.sameAround(around, l)
	if same == nil {
		return nil
	}
	lits := append(same, l.Not())
	for _, j := range p.jacks() {
		for _, m := range e.jacks[j].normals {
			if other := e.otherEnd(m, j); e.normals[m].breaks(other) {
				lits = append(lits, e.otherwise(e.plug[other]))
			}
		}
	}
	return lits
}

// partLit is the literal of a part.
func (e *encoding) partLit(p part) clause.Lit {
	switch p.kind {
	case cordPart:
		if p.b == nowhere {
			return e.loose[p.a]
		}
		return e.lit(thing{aCord, p.a, p.b})
	case leadPart:
		return e.lit(thing{aLead, p.a, p.b})
	case dummyPart:
		return e.dummy[p.a]
	case crossPart:
		return e.closed[p.a]
	}
	return clause.False
}

// touched are the nodes that a part joins or parts.
func (r *trial) touched(p part) []int {
	var nodes []int
	for _, j := range p.jacks() {
		nodes = append(nodes, r.jacks[j].node)
		for _, m := range r.jacks[j].normals {
			nodes = append(nodes, r.jacks[r.otherEnd(m, j)].node)
		}
	}
	switch p.kind {
	case leadPart:
		nodes = append(nodes, r.node[r.ports[p.a]])
	case crossPart:
		nodes = append(nodes, r.crosses[p.a].from, r.outputs[r.crosses[p.a].output].node)
	case cordPart, dummyPart:
	}
	return nodes
}

// addNets adds all nodes that are on the nets of some.
func (r *trial) addNets(set map[int]bool, nodes []int) {
	for _, n := range nodes {
		for _, m := range r.nets[r.net[n]].nodes {
			set[m] = true
		}
	}
}

// addOnward adds all nodes that a signal on some comes to, through amplifiers and
// through gear.
func (r *trial) addOnward(set map[int]bool) {
	nodes := sortedKeys(set)
	for i := 0; i < len(nodes); i++ {
		add := func(at int) {
			for _, m := range r.nets[at].nodes {
				if !set[m] {
					set[m] = true
					nodes = append(nodes, m)
				}
			}
		}
		at := r.net[nodes[i]]
		r.following(at, add)
		r.onward(at, add)
	}
}

// sameAround are literals of which one is true where anything around is not as it
// is in the answer found last, but for one literal; nil where that is hard to say.
func (e *encoding) sameAround(nodes map[int]bool, but clause.Lit) []clause.Lit {
	lits := []clause.Lit{}
	add := func(l clause.Lit) {
		if l != but && l != clause.True && l != clause.False {
			lits = append(lits, e.otherwise(l))
		}
	}
	for _, n := range sortedKeys(nodes) {
		for _, edge := range e.edges[n] {
			add(edge.lit)
		}
		for _, x := range e.nodes[n].ins {
			add(e.closed[x])
		}
		for _, o := range e.nodes[n].outputs {
			if e.outputs[o].relay {
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
	for _, s := range e.wanted {
		if l := e.carries[o][s]; e.Value(l) {
			return l
		}
	}
	return clause.False
}

// otherwise is true where a literal is not what it is in the answer found last.
func (e *encoding) otherwise(l clause.Lit) clause.Lit {
	if e.Value(l) {
		return l.Not()
	}
	return l
}
