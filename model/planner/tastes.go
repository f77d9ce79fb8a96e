package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/clause"
)

// plainCosts are what a plain plan does without while another way exists: cords
// that hang, mults that are chained, and taps of what the session does not
// split.
func (e *encoding) plainCosts() []cost {
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
func (e *encoding) tap(j int) clause.Lit {
	carrying := e.carryingAt(j)
	if len(carrying) == 0 || len(e.task.tapped(j)) == 0 {
		return clause.False
	}
	n := e.Jacks[j].Node
	plugged := e.either(carrying)
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
func (e *encoding) tapOf(j int, plugged clause.Lit, driver int) clause.Lit {
	if s, ok := e.SourceAt(driver); ok {
		if e.task.tapsOf(j, s) {
			return plugged
		}
		return clause.False
	}
	l := e.Var()
	for _, s := range e.task.wanted {
		if e.task.tapsOf(j, s) {
			e.Add(plugged.Not(), e.carries[e.Amplifier(driver)][s].Not(), l)
		}
	}
	return l
}

// carryingAt are the cords and leads that may be in a jack.
func (e *encoding) carryingAt(j int) []clause.Lit {
	var lits []clause.Lit
	for _, c := range e.cordsAt[j] {
		lits = append(lits, e.cords[c].lit)
	}
	for _, l := range e.leadsAt[j] {
		lits = append(lits, e.leads[l].lit)
	}
	return lits
}

// tapped are the normals that a plug in a jack taps: they lead to an input of
// gear, and the plug does not break them.
func (t *task) tapped(j int) []int {
	var normals []int
	for _, m := range t.Jacks[j].Normals {
		if !t.Normals[m].Breaks(j) && len(t.Nodes[t.Jacks[t.OtherEnd(m, j)].Node].Inputs) > 0 {
			normals = append(normals, m)
		}
	}
	return normals
}

// unplainness is how much of what a plain plan does without a draft has.
func (t *task) unplainness(d graph.Patch) int {
	if t.options.Prefer == plan.PreferFewest {
		return 0
	}
	n, total := t.stateOf(d), 0
	carrying := map[int]bool{}
	for _, c := range d.Cords {
		if c[1] == graph.None {
			total++
			continue
		}
		carrying[c[0]], carrying[c[1]] = true, true
		a, b := t.Jacks[c[0]].Node, t.Jacks[c[1]].Node
		if a != b && t.Nodes[a].Mult && t.Nodes[b].Mult {
			total++
		}
	}
	for _, l := range d.Leads {
		carrying[l[1]] = true
	}
	for j := range t.Jacks {
		if s, ok := t.sourceOn(n, t.Jacks[j].Node); ok && carrying[j] && t.tapsOf(j, s) {
			total++
		}
	}
	return total
}

// tapsOf says whether a plug in a jack would tap a source that the session does
// not split, and not break what must be broken in any case.
func (t *task) tapsOf(j, source int) bool {
	return !t.split[source] && slices.ContainsFunc(t.tapped(j), func(m int) bool {
		return t.takes(t.Jacks[t.OtherEnd(m, j)].Node, source, false)
	})
}

// sourceOn is the source on the net of a node: any gear output, or a wanted one
// that comes through amplifiers.
func (t *task) sourceOn(n *graph.State, node int) (int, bool) {
	for _, k := range n.DriversOn(n.NetOf(node)) {
		if s, ok := t.SourceAt(k); ok {
			return s, true
		}
		if s := n.Carried(t.Amplifier(k)); slices.Contains(t.wanted, s) {
			return s, true
		}
	}
	return graph.None, false
}

// tidyCosts come after the plugs handled, in order: plugs in the bay, normals
// broken, crosspoints changed.
func (e *encoding) tidyCosts(plugs []cost) [][]cost {
	var normals, changes []cost
	for i := range e.Normals {
		if e.hold[i] != clause.True {
			normals = append(normals, cost{e.hold[i].Not(), 1, ungrouped})
		}
	}
	for _, o := range e.Outputs {
		if l := e.changed(o); l != clause.False {
			changes = append(changes, cost{l, 1, ungrouped})
		}
	}
	return [][]cost{plugs, normals, changes}
}

// changed is true where an output listens to something else than now.
func (e *encoding) changed(o graph.Output) clause.Lit {
	var was, now []clause.Lit
	for _, x := range o.Crosses {
		switch {
		case slices.Contains(e.task.present.Crosses, x):
			was = append(was, e.closed[x])
		case e.closed[x] != clause.False:
			now = append(now, e.closed[x])
		}
	}
	switch {
	case len(was) == 0:
		return e.either(now)
	case len(was) > 1:
		return clause.False // read back from a relay matrix; always changed
	}
	return was[0].Not()
}
