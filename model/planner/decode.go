package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// decode reads the answer found last as a draft.
func (e *encoding) decode() graph.Patch {
	var d graph.Patch
	for _, c := range e.cords {
		if e.Value(c.lit) {
			d.Cords = append(d.Cords, c.ends)
		}
	}
	for _, l := range e.leads {
		if e.Value(l.lit) {
			d.Leads = append(d.Leads, [2]int{l.port, l.jack})
		}
	}
	for j := range e.Jacks {
		if e.loose[j] != clause.False && e.Value(e.loose[j]) {
			d.Cords = append(d.Cords, [2]int{j, graph.None})
		}
		if e.dummy[j] != clause.False && e.Value(e.dummy[j]) {
			d.Dummies = append(d.Dummies, j)
		}
	}
	for x, l := range e.closed {
		if l != clause.False && e.Value(l) {
			d.Crosses = append(d.Crosses, x)
		}
	}
	d.Sort()
	return d
}

// preferPatch makes the search try a draft first: what is in it, and what is on
// each node by it.
func (e *encoding) preferPatch(d graph.Patch) {
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
		try(c.lit, slices.Contains(d.Cords, c.ends))
	}
	for _, l := range e.leads {
		try(l.lit, slices.Contains(d.Leads, [2]int{l.port, l.jack}))
	}
	for j := range e.Jacks {
		try(e.loose[j], slices.Contains(d.Cords, [2]int{j, graph.None}))
		try(e.dummy[j], slices.Contains(d.Dummies, j))
	}
	for x, l := range e.closed {
		_, in := slices.BinarySearch(d.Crosses, x)
		try(l, in)
	}
	n := e.task.stateOf(d)
	for at := range e.Nodes {
		for i, k := range e.dom[at] {
			try(e.drive[at][i], slices.Contains(n.DriversOn(n.NetOf(at)), k))
		}
	}
	for _, o := range e.Amplifiers {
		carried := n.Carried(o)
		for s, l := range e.carries[o] {
			try(l, s == carried)
		}
	}
}
