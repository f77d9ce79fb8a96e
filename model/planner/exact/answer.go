package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// decode reads the answer found last as a draft.
func (v *variables) decode() graph.Patch {
	var d graph.Patch
	for _, c := range v.cords {
		if v.solver.Value(c.lit) {
			d.Cords = append(d.Cords, c.ends)
		}
	}
	for _, l := range v.leads {
		if v.solver.Value(l.lit) {
			d.Leads = append(d.Leads, [2]int{l.port, l.jack})
		}
	}
	for j := range v.problem.Jacks {
		if v.loose[j] != clause.False && v.solver.Value(v.loose[j]) {
			d.Cords = append(d.Cords, [2]int{j, graph.None})
		}
		if v.dummy[j] != clause.False && v.solver.Value(v.dummy[j]) {
			d.Dummies = append(d.Dummies, j)
		}
	}
	for x, l := range v.closed {
		if l != clause.False && v.solver.Value(l) {
			d.Crosses = append(d.Crosses, x)
		}
	}
	d.Sort()
	return d
}

// holdPlugs leaves the plugs of a draft as the only ones.
func (v *variables) holdPlugs(d graph.Patch) {
	hold := func(l clause.Lit, in bool) {
		if !in {
			l = l.Not()
		}
		v.solver.Add(l)
	}
	v.eachPlug(d, hold)
}

// eachPlug calls a function with the literal of each plug that could be in, and whether it is
// in a draft.
func (v *variables) eachPlug(d graph.Patch, do func(l clause.Lit, in bool)) {
	for _, c := range v.cords {
		do(c.lit, slices.Contains(d.Cords, c.ends))
	}
	for _, l := range v.leads {
		do(l.lit, slices.Contains(d.Leads, [2]int{l.port, l.jack}))
	}
	for j := range v.problem.Jacks {
		do(v.loose[j], slices.Contains(d.Cords, [2]int{j, graph.None}))
		do(v.dummy[j], slices.Contains(d.Dummies, j))
	}
}

// preferPatch makes the search try a draft first: what is in it, and what is on
// each node by it in its state.
func (v *variables) preferPatch(d graph.Patch, n *graph.State) {
	try := func(l clause.Lit, in bool) {
		switch {
		case l == clause.True || l == clause.False:
		case in:
			v.solver.Prefer(l)
		default:
			v.solver.Prefer(l.Not())
		}
	}
	v.eachPlug(d, try)
	for x, l := range v.closed {
		if l != clause.True && l != clause.False {
			_, in := slices.BinarySearch(d.Crosses, x)
			try(l, in)
		}
	}
	for at := range v.problem.Nodes {
		if !v.window.varies(at) {
			continue
		}
		for i, k := range v.dom[at] {
			try(v.drive[at][i], slices.Contains(n.DriversOn(n.NetOf(at)), k))
		}
	}
	for _, o := range v.amplifiers {
		carried := n.Carried(o)
		for s, l := range v.carries[o] {
			try(l, s == carried)
		}
	}
	if v.directed {
		v.preferDirections(n)
	}
}

// preferDirections makes the search try the directions first in which drivers come to all nodes
// in a state, of the edges that it tries first.
func (v *variables) preferDirections(state *graph.State) {
	seen := make([]bool, len(v.problem.Nodes))
	var queue []int
	for k := range v.problem.CountDrivers() {
		queue = append(queue, v.problem.DriverNode(k))
		seen[queue[k]] = true
	}
	for ; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		for _, e := range v.edges[n] {
			if seen[e.to] || state.NetOf(n) != state.NetOf(e.to) || !clause.Prefers(v.solver, e.lit) {
				continue
			}
			seen[e.to] = true
			queue = append(queue, e.to)
			if e.out != clause.False {
				v.solver.Prefer(e.out)
			}
		}
	}
}

// otherPatch refuses just this draft.
func (v *variables) otherPatch(d graph.Patch) []clause.Lit {
	var lits []clause.Lit
	other := func(l clause.Lit, in bool) {
		switch {
		case l == clause.False:
		case in:
			lits = append(lits, l.Not())
		default:
			lits = append(lits, l)
		}
	}
	v.eachPlug(d, other)
	for x, l := range v.closed {
		_, in := slices.BinarySearch(d.Crosses, x)
		other(l, in)
	}
	return lits
}

// hear says whether a source is heard at a node.
func (v *variables) hear(n, s int) clause.Lit {
	if !v.window.hears(n) {
		return v.window.brought(n, s)
	}
	if v.heard[n] != nil {
		if i, ok := slices.BinarySearch(v.wanted, s); ok {
			return v.heard[n][i]
		}
	}
	return v.driven(n, s)
}
