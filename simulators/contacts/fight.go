package contacts

import (
	"math"
	"slices"

	"bayhand/model/name"
)

// Fights are the groups of outputs that drive each other, each sorted, in the
// order of their first members.
func (r *Readings) Fights() [][]name.Point {
	var groups [][]name.Point
	for _, group := range r.fights {
		var outputs []name.Point
		for _, k := range group {
			outputs = append(outputs, r.panel.outputs[k])
		}
		slices.SortFunc(outputs, name.Point.Compare)
		groups = append(groups, outputs)
	}
	slices.SortFunc(groups, func(a, b []name.Point) int { return a[0].Compare(b[0]) })
	return groups
}

// fighting gathers sources between which current flows. Between two alone it
// would be 1 V over both their resistances; others beside them take a share.
func (r *Readings) fighting() [][]int {
	count := len(r.panel.outputs)
	group := make([]int, count)
	for i := range group {
		group[i] = i
	}
	for i := range count {
		for j := range count {
			if group[i] != group[j] && r.flows(i, j) {
				merge(group, group[i], group[j])
			}
		}
	}
	members := map[int][]int{}
	for k, g := range group {
		members[g] = append(members[g], k)
	}
	var fights [][]int
	for _, sources := range members {
		if len(sources) > 1 {
			fights = append(fights, sources)
		}
	}
	return fights
}

func (r *Readings) flows(i, j int) bool {
	both := float64(r.solved.sources[i].r + r.solved.sources[j].r)
	return math.Abs(float64(r.solved.Into(j, i)))*both > fightAbove
}

func merge(group []int, a, b int) {
	for k := range group {
		if group[k] == b {
			group[k] = a
		}
	}
}

// Doubtful says whether outputs that fight have a part in what is at a point:
// what is heard there is not defined.
func (r *Readings) Doubtful(at name.Point) bool {
	return r.doubtful(at, map[name.Point]bool{})
}

func (r *Readings) doubtful(at name.Point, seen map[name.Point]bool) bool {
	node, ok := r.panel.nodes[at]
	if !ok || seen[at] {
		return false
	}
	seen[at] = true
	for k, out := range r.panel.outputs {
		if math.Abs(float64(r.solved.Voltage(node, k))) <= float64(heardAbove) {
			continue
		}
		if slices.ContainsFunc(r.fights, func(f []int) bool { return slices.Contains(f, k) }) {
			return true
		}
		for _, in := range r.panel.selects[out] {
			if r.doubtful(in, seen) {
				return true
			}
		}
	}
	return false
}
