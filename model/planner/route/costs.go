package route

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/measure"
)

// cordCost is what a cord from i to j costs.
func (r *router) cordCost(i, j int) int {
	for _, end := range []int{i, j} {
		old := r.oldAt[end]
		if old == graph.None {
			continue
		}
		if ends := r.problem.Present.Cords[old]; r.movable(ends) && r.problem.Stock.OldReaches(old, i, j) {
			return movedCost + r.wayCost(i, j)
		}
	}
	return r.freshCost(i, j)
}

// leastCordCost is what a cord from i to j costs at least.
func (r *router) leastCordCost(i, j int) int {
	if r.loose[i] || r.loose[j] {
		return movedCost + r.wayCost(i, j)
	}
	return r.freshCost(i, j)
}

// freshCost is what a cord from i to j costs that lies ready, or is taken from another want.
func (r *router) freshCost(i, j int) int {
	switch {
	case r.ready == nil || r.ready.Reaches(&r.problem.Stock, i, j):
		return cordCost + r.wayCost(i, j)
	case r.ousting:
		return cordCost + ousterCost + r.wayCost(i, j)
	}
	return outOfStock
}

// wayCost is for how long a cord is: the nearer jack of two alike.
func (d *draft) wayCost(i, j int) int {
	return min(int(d.problem.Stock.Need(i, j)/measure.Millimetre), cordCost) / 10
}

// movable says whether neither of the jacks of a cord of the present patch has
// another plug yet.
func (r *router) movable(ends [2]int) bool {
	for _, j := range ends {
		if j == graph.None {
			continue
		}
		if p := r.trial.PartAt(j); p.Kind != 0 && p != (graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]}) || slices.Contains(r.held, j) {
			return false
		}
	}
	return true
}
