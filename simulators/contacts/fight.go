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

// fighting gathers sources between which current flows. Others beside two of
// them take a share of it, so that between a weak one and a strong one it may
// be hard to see; a group needs only one way from each to each.
func (r *Readings) fighting() [][]int {
	count := len(r.panel.outputs)
	group := make([]int, count)
	for i := range group {
		group[i] = i
	}
	for i := range count {
		for j := range count {
			if i != j && r.solved.Fight(j, i) > fightAbove {
				merge(group, group[i], group[j])
			}
		}
	}
	r.nearly = r.near(group)
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

// near are the pairs in no group together whose current is near the limit.
func (r *Readings) near(group []int) [][2]int {
	var pairs [][2]int
	for i := range group {
		for j := range group {
			if group[i] != group[j] && r.solved.Fight(j, i) > fightAbove/doubt {
				pairs = append(pairs, [2]int{i, j})
			}
		}
	}
	return pairs
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
	if !r.panel.has(at) || seen[at] {
		return false
	}
	seen[at] = true
	for k, out := range r.panel.outputs {
		if !r.arrives(at, k) {
			continue
		}
		if len(r.rivals(k)) > 1 {
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

// arrives says whether a source alone is heard at a point.
func (r *Readings) arrives(at name.Point, k int) bool {
	return math.Abs(float64(r.between(r.panel.listening(at), k))) > float64(heardAbove)
}

// rivals are the sources that fight with one, itself among them.
func (r *Readings) rivals(k int) []int {
	for _, f := range r.fights {
		if slices.Contains(f, k) {
			return f
		}
	}
	return []int{k}
}
