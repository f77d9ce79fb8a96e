package bound

import (
	"math"

	"bayhand/model/graph"
)

// tree finds the cheapest ways from the root of a network to some of its ends, together: a
// directed Steiner tree, by dynamic programming over sets of ends (Dreyfus and Wagner
// 1971, from memory). With n vertices, m arcs and k ends it takes some 3^k n and 2^k m log n steps.
type tree struct {
	net *network
	// cost is what the cheapest tree from a vertex to a set of ends costs; by is the arc with which it
	// begins, or the set, less than none, of which it is the tree and that of the rest.
	cost  [][]int
	by    [][]int32
	heap  []queued
	looks int // at arcs
}

type queued struct{ cost, vertex int }

const far = math.MaxInt / 4

// mostEnds is how many ends of one source are looked at together.
const mostEnds = 4

// grow finds the tree to some ends; its price.
func (t *tree) grow(net *network, ends []int) int {
	t.net = net
	count := len(net.into)
	for len(t.cost) < 1<<len(ends) {
		t.cost, t.by = append(t.cost, nil), append(t.by, nil)
	}
	for set := 1; set < 1<<len(ends); set++ {
		t.cost[set], t.by[set] = fill(t.cost[set], count, far), fill(t.by[set], count, int32(graph.None))
		t.heap = t.heap[:0]
		for i, e := range ends {
			if set == 1<<i {
				t.reach(set, e, 0, graph.None)
			}
		}
		t.join(set)
		t.spread(set, set == 1<<len(ends)-1)
	}
	return t.cost[1<<len(ends)-1][net.root]
}

func fill[T any](list []T, count int, value T) []T {
	list = list[:0]
	for range count {
		list = append(list, value)
	}
	return list
}

// join makes trees of two that begin at the same vertex.
func (t *tree) join(set int) {
	for part := (set - 1) & set; part > 0; part = (part - 1) & set {
		rest := set &^ part
		if part < rest {
			continue
		}
		for v, c := range t.cost[part] {
			if sum := c + t.cost[rest][v]; sum < t.cost[set][v] {
				t.cost[set][v], t.by[set][v] = sum, int32(-1-part)
			}
		}
	}
	for v, c := range t.cost[set] {
		if c < far && t.by[set][v] < graph.None {
			t.push(queued{c, v})
		}
	}
}

func (t *tree) reach(set, v, cost int, by int) {
	if cost < t.cost[set][v] {
		t.cost[set][v], t.by[set][v] = cost, int32(by)
		t.push(queued{cost, v})
	}
}

// spread is Dijkstra's search against the arcs; it ends at the root where the set is all.
func (t *tree) spread(set int, all bool) {
	for len(t.heap) > 0 {
		top := t.pop()
		if top.cost > t.cost[set][top.vertex] {
			continue
		}
		if all && top.vertex == t.net.root {
			return
		}
		for _, i := range t.net.into[top.vertex] {
			t.looks++
			t.reach(set, int(t.net.arcs[i].from), top.cost+t.net.price[i], int(i))
		}
	}
}

// walk visits the arcs of the tree that was found.
func (t *tree) walk(set, v int, visit func(arc int)) {
	for t.cost[set][v] > 0 || t.by[set][v] != graph.None {
		switch by := int(t.by[set][v]); {
		case by == graph.None:
			return
		case by < graph.None:
			part := -1 - by
			t.walk(part, v, visit)
			set &^= part
		default:
			visit(by)
			v = int(t.net.arcs[by].to)
		}
	}
}

func (t *tree) push(e queued) {
	t.heap = append(t.heap, e)
	i := len(t.heap) - 1
	for i > 0 && t.heap[(i-1)/2].cost > e.cost {
		t.heap[i] = t.heap[(i-1)/2]
		i = (i - 1) / 2
	}
	t.heap[i] = e
}

func (t *tree) pop() queued {
	top, last := t.heap[0], t.heap[len(t.heap)-1]
	t.heap = t.heap[:len(t.heap)-1]
	i, n := 0, len(t.heap)
	for n > 0 {
		child := 2*i + 1
		if child >= n {
			break
		}
		if child+1 < n && t.heap[child+1].cost < t.heap[child].cost {
			child++
		}
		if t.heap[child].cost >= last.cost {
			break
		}
		t.heap[i] = t.heap[child]
		i = child
	}
	if n > 0 {
		t.heap[i] = last
	}
	return top
}
