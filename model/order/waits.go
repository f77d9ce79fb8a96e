package order

import "slices"

// waits are the actions that each one waits for, by their places in an order.
type waits struct {
	order []*action
	// direct are the last before each that it depends on, and the one that brings
	// its cord; all are those that must be done before one, directly or not.
	direct [][]int
	all    []map[int]bool
}

func newWaits(q *sequencer, order []*action) *waits {
	w := &waits{order: order}
	own := newStock(q.facts)
	for i, a := range order {
		var direct []int
		all := map[int]bool{}
		add := func(k int) {
			if all[k] {
				return
			}
			all[k] = true
			direct = append(direct, k)
			for j := range w.all[k] {
				all[j] = true
			}
		}
		for k := i - 1; k >= 0; k-- {
			if !all[k] && q.zones.ordered(a, order[k]) {
				add(k)
			}
		}
		if k, ok := own.supplier(a); ok {
			add(k)
		}
		own.bring(a, i)
		slices.Sort(direct)
		w.direct, w.all = append(w.direct, direct), append(w.all, all)
	}
	return w
}

// common are the actions that must be done before each of those that need
// something: whatever it is, nobody needs it sooner.
func (w *waits) common(needs func(*action) bool) []int {
	var common []int
	first := true
	for i, a := range w.order {
		switch {
		case !needs(a):
		case first:
			first = false
			for k := range i {
				if w.all[i][k] {
					common = append(common, k)
				}
			}
		default:
			common = slices.DeleteFunc(common, func(k int) bool { return !w.all[i][k] })
		}
	}
	return common
}
