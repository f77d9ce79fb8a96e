package exact

import (
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/trial"
)

// refuseNeedless adds clauses that refuse an answer for what it holds and does not
// need, which is what is stripped of it, and says whether it found any. A trial holds it. Each says: as long as everything around a
// part is as it is here, the part is not needed. Around it is all that hears
// something else without it, and all that comes after that.
func (e *refusal) refuseNeedless(r *trial.Trial, d, stripped graph.Patch) bool {
	if len(e.problem.OverrideOf) > 0 || e.problem.AsksForWays() || r.Wrong() > 0 {
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
func (e *refusal) needless(r *trial.Trial, p graph.Part) []clause.Lit {
	l := e.partLit(p)
	if l == clause.False || p.Kind == graph.Cross && len(e.Ganged[p.A]) > 0 {
		return nil
	}
	around := map[int]bool{}
	r.AddNets(around, r.Touched(p))
	r.Change([]graph.Part{p}, nil)
	needed := r.Wrong() > 0
	r.AddNets(around, r.Touched(p))
	r.AddOnward(around)
	r.Change(nil, []graph.Part{p})
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
			if other := e.problem.OtherEnd(m, j); e.Normals[m].Breaks(other) {
				lits = append(lits, e.differs(e.plug[other]))
			}
		}
	}
	return lits
}

// sameAround are literals of which one is true where anything around is not as it
// is in the answer found last, but for one literal; nil where that is hard to say.
func (e *refusal) sameAround(nodes map[int]bool, but clause.Lit) []clause.Lit {
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

// differs is true where a literal is not what it is in the answer found last.
func (e *refusal) differs(l clause.Lit) clause.Lit {
	if e.Value(l) {
		return l.Not()
	}
	return l
}

// refusePlugs refuses an answer whose crosspoints alone give the session: with the same
// crosspoints no jack has a plug. It says whether it did. In a window all plugs around it stay.
func (e *refusal) refusePlugs(d graph.Patch) bool {
	if e.window != nil || e.problem.Options.LeaveCords || !d.HoldsPlugs() || !e.problem.Gives(d.Switched()) {
		return false
	}
	empty := e.Var()
	same := []clause.Lit{empty}
	for _, l := range e.closed {
		if l != clause.True && l != clause.False {
			same = append(same, e.differs(l))
		}
	}
	e.Add(same...)
	for _, l := range e.plug {
		if l != clause.False {
			e.Add(empty.Not(), l.Not())
		}
	}
	return true
}
