package bound

import (
	"math"
	"slices"

	"bayhand/model/graph"
)

// tree finds the cheapest ways from the root of a network to some of its ends, together: a
// directed Steiner tree, by dynamic programming over sets of ends (Dreyfus and Wagner
// 1971, from memory). With n vertices, m arcs and k ends it takes some 3^k n and 2^k m log n steps
// at most. It goes from the ends toward the root, and first where the way on to the root may
// be the shortest (A*: Hart, Nilsson and Raphael 1968, from memory), so that mostly it looks at
// few of them.
type tree struct {
	net *network
	// prices are at least those of the network's near.
	prices *prices
	// limit is what some tree costs: dearer ones are not looked for.
	limit  int
	fronts []front // by set of ends
	heap   queue
	looks  int // at arcs
}

// front is the cheapest trees from vertices to one set of ends. Cost is far where none was
// found; by is the arc with which one begins, or the set, less than none, of which it is the
// tree and that of the rest.
type front struct {
	cost    []int
	by      []int32
	touched []int
}

const far = math.MaxInt / 4

// mostEnds is how many ends of one source are looked at together.
const mostEnds = 4

// grow finds the tree to some ends; its price. Limit is what one costs that is known, or far.
func (t *tree) grow(net *network, ends []int, limit int) int {
	t.net, t.limit = net, limit
	all := 1<<len(ends) - 1
	for len(t.fronts) <= all {
		t.fronts = append(t.fronts, front{})
	}
	for set := 1; set <= all; set++ {
		f := &t.fronts[set]
		f.begin(len(net.into))
		t.heap = t.heap[:0]
		for i, e := range ends {
			if set == 1<<i {
				t.reach(f, e, 0, graph.None)
			}
		}
		t.join(set)
		t.spread(f, set == all)
	}
	return t.fronts[all].cost[net.root]
}

// begin forgets what was found, and makes room for so many vertices.
func (f *front) begin(vertices int) {
	for _, v := range f.touched {
		f.cost[v], f.by[v] = far, none
	}
	f.touched = f.touched[:0]
	if lack := vertices - len(f.cost); lack > 0 {
		f.cost, f.by = append(f.cost, slices.Repeat([]int{far}, lack)...), append(f.by, slices.Repeat([]int32{none}, lack)...)
	}
}

// join makes trees of two that begin at the same vertex.
func (t *tree) join(set int) {
	for part := (set - 1) & set; part > 0; part = (part - 1) & set {
		rest := set &^ part
		if part < rest {
			continue
		}
		for _, v := range t.fronts[part].touched {
			t.reach(&t.fronts[set], v, t.fronts[part].cost[v]+t.fronts[rest].cost[v], int32(-1-part))
		}
	}
}

func (t *tree) reach(f *front, v, cost int, by int32) {
	if cost >= f.cost[v] || cost+t.net.near[v] > t.limit {
		return
	}
	if f.cost[v] == far {
		f.touched = append(f.touched, v)
	}
	f.cost[v], f.by[v] = cost, by
	t.heap.push(queued{cost + t.net.near[v], cost, v})
}

// spread is the search against the arcs; it ends at the root where the set is all.
func (t *tree) spread(f *front, all bool) {
	for len(t.heap) > 0 {
		top := t.heap.pop()
		cost := f.cost[top.vertex]
		if top.cost > cost+t.net.near[top.vertex] {
			continue
		}
		if all && top.vertex == t.net.root {
			return
		}
		for _, i := range t.net.into[top.vertex] {
			t.looks++
			a := &t.net.arcs[i]
			if t.net.near[a.from] < far {
				t.reach(f, int(a.from), cost+t.prices.ofArc(a), i)
			}
		}
	}
}

// walk visits the arcs of the tree that was found.
func (t *tree) walk(set, v int, visit func(arc int)) {
	for set != 0 {
		switch by := t.fronts[set].by[v]; {
		case by == none:
			return
		case by < none:
			part := int(-1 - by)
			t.walk(part, v, visit)
			set &^= part
		default:
			visit(int(by))
			v = int(t.net.arcs[by].to)
		}
	}
}
