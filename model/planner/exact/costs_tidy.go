package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/objective"
)

// preferences are what patches with as many plugs are chosen by, and how plain they
// are.
type preferences struct {
	*graph.Graph
	*clause.Solver
	*variables
	// changeAt is what an output costs that listens to something else and has a source then.
	changeAt map[[2]int]clause.Lit
}

func newPreferences(e *encoding) *preferences {
	return &preferences{e.Graph, e.Solver, e.variables, map[[2]int]clause.Lit{}}
}

// changes is what a way pays for an output that listens to something else.
func (e *preferences) changes(a arc, source int, _ func(clause.Lit) bool) clause.Lit {
	if a.cross == graph.None || slices.Contains(e.problem.Present.Crosses, a.cross) {
		return clause.False
	}
	if l, ok := e.changeAt[[2]int{e.Crosses[a.cross].Output, source}]; ok {
		return l
	}
	return clause.False
}

// breaks is a normal that a way breaks by what it plugs, of which something is left to pay.
func (e *preferences) breaks(a arc, _ int, left func(clause.Lit) bool) clause.Lit {
	var jacks []int
	if a.cord != graph.None {
		jacks = append(jacks, e.cords[a.cord].ends[:]...)
	} else if a.jack != graph.None {
		jacks = append(jacks, a.jack)
	}
	for _, j := range jacks {
		for _, m := range e.Jacks[j].Normals {
			if l := e.hold[m].Not(); e.Normals[m].Breaks(j) && left(l) {
				return l
			}
		}
	}
	return clause.False
}

// plainCosts are what a plain plan does without while another way exists: cords
// that hang, mults that are chained, and taps of what the session does not
// split.
func (e *preferences) plainCosts() []cost {
	var found []cost
	for _, l := range e.loose {
		if l != clause.False {
			found = append(found, cost{l, 1, ungrouped})
		}
	}
	for _, c := range e.cords {
		n, m := e.Jacks[c.ends[0]].Node, e.Jacks[c.ends[1]].Node
		if n != m && e.Nodes[n].Mult && e.Nodes[m].Mult {
			found = append(found, cost{c.lit, 1, ungrouped})
		}
	}
	for j := range e.Jacks {
		if l := e.tap(j); l != clause.False {
			found = append(found, cost{l, 1, ungrouped})
		}
	}
	return found
}

// tap is true where a cord or lead taps a normal, and the source there goes to
// one destination only by the session. It is no tap where the input behind the
// normal must not hear the source: there the normal is broken in any case, as at
// an insert.
func (e *preferences) tap(j int) clause.Lit {
	carrying := e.carryingAt(j)
	if len(carrying) == 0 || len(objective.Tapped(e.problem, j)) == 0 {
		return clause.False
	}
	n := e.Jacks[j].Node
	plugged := clause.Either(e.Solver, carrying)
	if always := e.Always(n); len(always) > 0 {
		return e.tapOf(j, plugged, always[0])
	}
	l := e.Var()
	for i, k := range e.dom[n] {
		e.Add(e.drive[n][i].Not(), e.tapOf(j, plugged, k).Not(), l)
	}
	return l
}

// tapOf is true where the plug is in and what the driver carries would be tapped.
func (e *preferences) tapOf(j int, plugged clause.Lit, driver int) clause.Lit {
	if s, ok := e.SourceAt(driver); ok {
		if objective.TapsOf(e.problem, j, s) {
			return plugged
		}
		return clause.False
	}
	l := e.Var()
	for _, s := range e.problem.Wanted {
		if objective.TapsOf(e.problem, j, s) {
			e.Add(plugged.Not(), e.carry(e.Amplifier(driver), s).Not(), l)
		}
	}
	return l
}

// carryingAt are the cords and leads that may be in a jack.
func (e *preferences) carryingAt(j int) []clause.Lit {
	var lits []clause.Lit
	for _, c := range e.cordsAt[j] {
		lits = append(lits, e.cords[c].lit)
	}
	for _, l := range e.leadsAt[j] {
		lits = append(lits, e.leads[l].lit)
	}
	return lits
}

// normalCosts are the normals that are broken.
func (e *preferences) normalCosts() []cost {
	var found []cost
	for i := range e.Normals {
		found = append(found, cost{e.hold[i].Not(), 1, ungrouped})
	}
	return found
}

// changeCosts are the outputs that listen to something else.
func (e *preferences) changeCosts() []cost {
	var found []cost
	for i, o := range e.Outputs {
		if l := e.changed(o); l != clause.False {
			found = append(found, e.changedBySource(i, l)...)
		}
	}
	return found
}

// changed is true where an output listens to something else than now.
func (e *preferences) changed(o graph.Output) clause.Lit {
	var was, now []clause.Lit
	for _, x := range o.Crosses {
		switch {
		case slices.Contains(e.problem.Present.Crosses, x):
			was = append(was, e.closed[x])
		case e.closed[x] != clause.False:
			now = append(now, e.closed[x])
		}
	}
	switch {
	case len(was) == 0:
		return clause.Either(e.Solver, now)
	case len(was) > 1:
		return clause.False // read back from a relay matrix; always changed
	}
	return was[0].Not()
}

// changedBySource is a change of an output as a cost for each source that it may bring
// then, so that outputs which two sources need are never counted as one.
func (e *preferences) changedBySource(o int, changed clause.Lit) []cost {
	var all []cost
	any := []clause.Lit{changed.Not()}
	for _, h := range e.broughtBy(o) {
		l := e.Var()
		e.Add(changed.Not(), h.lit.Not(), l)
		e.changeAt[[2]int{o, h.source}] = l
		all, any = append(all, cost{l, 1, h.source}), append(any, l)
	}
	if len(any) == 1 {
		return []cost{{changed, 1, ungrouped}}
	}
	other := e.Var()
	e.Add(append(any, other)...)
	return append(all, cost{other, 1, ungrouped})
}

// broughtBy are the wanted sources that an output may have.
func (e *preferences) broughtBy(o int) []heardLit {
	if e.Outputs[o].Relay {
		return slices.DeleteFunc(e.heardAt(e.Outputs[o].Node), func(h heardLit) bool { return !e.problem.Useful(h.source) })
	}
	var all []heardLit
	for _, s := range e.wanted {
		if l := e.carry(o, s); l != clause.False {
			all = append(all, heardLit{s, l})
		}
	}
	return all
}
