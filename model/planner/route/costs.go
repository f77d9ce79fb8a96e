package route

import (
	"cmp"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/measure"
)

// cordCost is what a cord from i to j costs.
func (r *router) cordCost(i, j int) int {
	way := min(int(r.problem.Stock.Need(i, j)/measure.Millimetre), cordCost) / 10 // the nearer jack of two alike
	for _, end := range []int{i, j} {
		old := r.builder.oldAt[end]
		if old == graph.None {
			continue
		}
		if ends := r.problem.Present.Cords[old]; r.movable(ends) && r.problem.Stock.OldReaches(old, i, j) {
			return movedCost + way
		}
	}
	if r.left != nil && !r.anyLeft(i, j) {
		if !r.ousting {
			return outOfStock
		}
		return cordCost + ousterCost + way
	}
	return cordCost + way
}

// anyLeft says whether a cord that is free goes between two jacks.
func (r *router) anyLeft(i, j int) bool {
	for k := len(r.left) - 1; k >= 0; k-- {
		if r.left[k] > 0 && r.problem.Stock.Goes(k, [2]int{i, j}) {
			return true
		}
	}
	return false
}

// stockLeft is how many cords of each kind are free if each that is in use is the
// shortest that does, the longest ways first; nil where there is no end to them.
func (b *builder) stockLeft() []int {
	if b.problem.Stock.Unlimited {
		return nil
	}
	left := slices.Clone(b.problem.Stock.Counts)
	cords := b.inUse()
	slices.SortStableFunc(cords, func(c, d [2]int) int { return cmp.Compare(b.problem.Stock.NeedOf(d), b.problem.Stock.NeedOf(c)) })
	for _, c := range cords {
		for k := range left {
			if left[k] > 0 && b.problem.Stock.Goes(k, c) {
				left[k]--
				break
			}
		}
	}
	return left
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

// reached are the jacks that a cord owned reaches from a jack, and that nothing
// drives for good.
func (b *builder) reached(i int) []int {
	if b.near[i] == nil {
		list := []int{}
		for j := range b.Jacks {
			if b.problem.Usable(j) && len(b.Always(b.Jacks[j].Node)) == 0 && b.problem.Stock.Any(i, j) {
				list = append(list, j)
			}
		}
		b.near[i] = list
	}
	return b.near[i]
}
