package planner

import (
	"slices"

	"bayhand/model/plan"
	"bayhand/model/planner/clause"
)

// tasteCosts are what a plain plan does without while another way exists: cords
// that hang, mults that are chained, and taps of what the session does not
// split.
func (e *encoding) tasteCosts() []cost {
	var found []cost
	for _, l := range e.loose {
		if l != clause.False {
			found = append(found, cost{l, 1, ungrouped})
		}
	}
	for _, c := range e.cords {
		n, m := e.jacks[c.ends[0]].node, e.jacks[c.ends[1]].node
		if n != m && e.nodes[n].mult && e.nodes[m].mult {
			found = append(found, cost{c.lit, 1, ungrouped})
		}
	}
	for j := range e.jacks {
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
	if len(carrying) == 0 || len(e.tapped(j)) == 0 {
		return clause.False
	}
	n := e.jacks[j].node
	plugged := e.either(carrying)
	if always := e.always(n); len(always) > 0 {
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
	if s, ok := e.source(driver); ok {
		if e.tapsOf(j, s) {
			return plugged
		}
		return clause.False
	}
	l := e.Var()
	for _, s := range e.wanted {
		if e.tapsOf(j, s) {
			e.Add(plugged.Not(), e.carries[e.amplifier(driver)][s].Not(), l)
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

// otherEnd is the jack at the other end of a normal.
func (t *task) otherEnd(m, j int) int { return t.normals[m].a + t.normals[m].b - j }

// tapped are the normals that a plug in a jack taps: they lead to an input of
// gear, and the plug does not break them.
func (t *task) tapped(j int) []int {
	var normals []int
	for _, m := range t.jacks[j].normals {
		if !t.normals[m].breaks(j) && len(t.nodes[t.jacks[t.otherEnd(m, j)].node].inputs) > 0 {
			normals = append(normals, m)
		}
	}
	return normals
}

// taste is how much of what a plain plan does without a draft has.
func (t *task) taste(d draft) int {
	if t.options.Prefer == plan.PreferFewest {
		return 0
	}
	n, total := t.nets(d), 0
	carrying := map[int]bool{}
	for _, c := range d.cords {
		if c[1] == nowhere {
			total++
			continue
		}
		carrying[c[0]], carrying[c[1]] = true, true
		a, b := t.jacks[c[0]].node, t.jacks[c[1]].node
		if a != b && t.nodes[a].mult && t.nodes[b].mult {
			total++
		}
	}
	for _, l := range d.leads {
		carrying[l[1]] = true
	}
	for j := range t.jacks {
		if s, ok := t.sourceOn(n, t.jacks[j].node); ok && carrying[j] && t.tapsOf(j, s) {
			total++
		}
	}
	return total
}

// tapsOf says whether a plug in a jack would tap a source that the session does
// not split, and not break what must be broken in any case.
func (t *task) tapsOf(j, source int) bool {
	return !t.split[source] && slices.ContainsFunc(t.tapped(j), func(m int) bool {
		return t.takes(t.jacks[t.otherEnd(m, j)].node, source, false)
	})
}

// sourceOn is the source on the net of a node: any gear output, or a wanted one
// that comes through amplifiers.
func (t *task) sourceOn(n *nets, node int) (int, bool) {
	for _, k := range n.driversAt(node) {
		if s, ok := n.sourceAt(k); ok {
			return s, true
		}
		if s := n.carried(n.amplifier(k)); slices.Contains(t.wanted, s) {
			return s, true
		}
	}
	return nowhere, false
}

// tidyCosts come after the plugs handled, in order: plugs in the bay, normals
// broken, crosspoints changed.
func (e *encoding) tidyCosts(plugs []cost) [][]cost {
	var normals, changes []cost
	for i := range e.normals {
		if e.hold[i] != clause.True {
			normals = append(normals, cost{e.hold[i].Not(), 1, ungrouped})
		}
	}
	for _, o := range e.outputs {
		if l := e.changed(o); l != clause.False {
			changes = append(changes, cost{l, 1, ungrouped})
		}
	}
	return [][]cost{plugs, normals, changes}
}

// changed is true where an output listens to something else than now.
func (e *encoding) changed(o output) clause.Lit {
	var was, now []clause.Lit
	for _, x := range o.crosses {
		switch {
		case slices.Contains(e.present.crosses, x):
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
