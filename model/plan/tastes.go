package plan

import (
	"slices"

	"bayhand/model/plan/clause"
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

// tap is true where a cord or lead taps the normal of its pair, and the source
// there goes to one destination only by the session.
func (e *encoding) tap(j int) clause.Lit {
	n := e.jacks[j].node
	if !e.tapsAt(j) {
		return clause.False
	}
	carrying := []clause.Lit{}
	for _, c := range e.cordsAt[j] {
		carrying = append(carrying, e.cords[c].lit)
	}
	for _, l := range e.leadsAt[j] {
		carrying = append(carrying, e.leads[l].lit)
	}
	if len(carrying) == 0 {
		return clause.False
	}
	plugged := e.either(carrying)
	if always := e.always(n); len(always) > 0 {
		return e.tapOf(plugged, always[0])
	}
	l := e.Var()
	for i, k := range e.dom[n] {
		e.Add(e.drive[n][i].Not(), e.tapOf(plugged, k).Not(), l)
	}
	return l
}

// tapOf is true where the plug is in and what the driver carries is not split.
func (e *encoding) tapOf(plugged clause.Lit, driver int) clause.Lit {
	if s, ok := e.source(driver); ok {
		if e.split[s] {
			return clause.False
		}
		return plugged
	}
	l := e.Var()
	for _, s := range e.wanted {
		if !e.split[s] {
			e.Add(plugged.Not(), e.carries[e.amplifier(driver)][s].Not(), l)
		}
	}
	return l
}

// tapsAt says whether a plug in a jack taps: the normal of its pair leads to an
// input of gear and a plug here does not break it.
func (e *encoding) tapsAt(j int) bool {
	for _, m := range e.jacks[j].normals {
		n := e.normals[m]
		other := n.a + n.b - j
		if !n.breaks(j) && len(e.nodes[e.jacks[other].node].inputs) > 0 {
			return true
		}
	}
	return false
}

// tidyCosts come after the plugs handled, in order: plugs in the bay, normals
// broken, crosspoints changed.
func (e *encoding) tidyCosts() [][]cost {
	var plugs, normals, changes []cost
	for j := range e.jacks {
		if e.plug[j] != clause.False {
			plugs = append(plugs, cost{e.plug[j], 1, ungrouped})
		}
	}
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
