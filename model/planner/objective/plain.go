package objective

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// Tapped are the normals that a plug in a jack taps: they lead to an input of
// gear, and the plug does not break them.
func Tapped(t *problem.Problem, j int) []int {
	var normals []int
	for _, m := range t.Jacks[j].Normals {
		if !t.Normals[m].Breaks(j) && len(t.Nodes[t.Jacks[t.OtherEnd(m, j)].Node].Inputs) > 0 {
			normals = append(normals, m)
		}
	}
	return normals
}

// Unplain is how much of what a plain plan does without a draft has.
func Unplain(t *problem.Problem, d graph.Patch) int {
	if t.Options.Prefer == plan.PreferFewest {
		return 0
	}
	n, total := t.State(d), 0
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
		if s, ok := sourceOn(t, n, t.Jacks[j].Node); ok && carrying[j] && TapsOf(t, j, s) {
			total++
		}
	}
	return total
}

// TapsOf says whether a plug in a jack would tap a source that the session does
// not split, and not break what must be broken in any case.
func TapsOf(t *problem.Problem, j, source int) bool {
	return !t.Split[source] && slices.ContainsFunc(Tapped(t, j), func(m int) bool {
		return t.Takes(t.Jacks[t.OtherEnd(m, j)].Node, source, false)
	})
}

// sourceOn is the source on the net of a node: any gear output, or a wanted one
// that comes through amplifiers.
func sourceOn(t *problem.Problem, n *graph.State, node int) (int, bool) {
	for _, k := range n.DriversOn(n.NetOf(node)) {
		if s, ok := t.SourceAt(k); ok {
			return s, true
		}
		if s := n.Carried(t.Amplifier(k)); slices.Contains(t.Wanted, s) {
			return s, true
		}
	}
	return graph.None, false
}
