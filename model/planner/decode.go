package planner

import (
	"slices"

	"bayhand/model/planner/clause"
)

// decode reads the answer found last as a draft.
func (e *encoding) decode() draft {
	var d draft
	for _, c := range e.cords {
		if e.Value(c.lit) {
			d.cords = append(d.cords, c.ends)
		}
	}
	for _, l := range e.leads {
		if e.Value(l.lit) {
			d.leads = append(d.leads, [2]int{l.port, l.jack})
		}
	}
	for j := range e.jacks {
		if e.loose[j] != clause.False && e.Value(e.loose[j]) {
			d.cords = append(d.cords, [2]int{j, nowhere})
		}
		if e.dummy[j] != clause.False && e.Value(e.dummy[j]) {
			d.dummies = append(d.dummies, j)
		}
	}
	for x, l := range e.closed {
		if l != clause.False && e.Value(l) {
			d.crosses = append(d.crosses, x)
		}
	}
	d.sort()
	return d
}

// remember makes the search try a draft first: what is in it, and what is on
// each node by it.
func (e *encoding) remember(d draft) {
	try := func(l clause.Lit, in bool) {
		switch {
		case l == clause.True || l == clause.False:
		case in:
			e.Prefer(l)
		default:
			e.Prefer(l.Not())
		}
	}
	for _, c := range e.cords {
		try(c.lit, slices.Contains(d.cords, c.ends))
	}
	for _, l := range e.leads {
		try(l.lit, slices.Contains(d.leads, [2]int{l.port, l.jack}))
	}
	for j := range e.jacks {
		try(e.loose[j], slices.Contains(d.cords, [2]int{j, nowhere}))
		try(e.dummy[j], slices.Contains(d.dummies, j))
	}
	for x, l := range e.closed {
		_, in := slices.BinarySearch(d.crosses, x)
		try(l, in)
	}
	n := e.nets(d)
	for at := range e.nodes {
		for i, k := range e.dom[at] {
			try(e.drive[at][i], slices.Contains(n.driversAt(at), k))
		}
	}
	for _, o := range e.amplifiers {
		carried := n.carried(o)
		for s, l := range e.carries[o] {
			try(l, s == carried)
		}
	}
}

// carried is the source that comes out of an amplifier's output; -1 if none does.
func (n *nets) carried(o int) int {
	x, on := n.behind[o]
	if !on {
		return nowhere
	}
	return n.comes(n.crosses[x].from)
}
