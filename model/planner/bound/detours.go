package bound

import (
	"slices"

	"bayhand/model/graph"
)

// detours are what the ways of one source cost at least that pass a vertex on the way to some
// end.
type detours struct {
	// anywhere says that nothing is known of the ways: the source or a destination takes leads, or
	// the network has no way to an end.
	anywhere bool
	// least is what the bound counts for the ways; vertex is that of each place, None for none.
	least  int
	vertex []int
	// from are the cheapest ways from the root to some of the dear ends and to a vertex, to those
	// from a vertex to some of them, by set of ends and vertex; of no end, those to any other end.
	from, to [][]int
}

// at is what ways cost at least, more than the cheapest, that leave the one place for the other
// at a price; far where there are none.
func (d *detours) at(from, to, price int) int {
	u, v := d.vertex[from], d.vertex[to]
	if u == graph.None || v == graph.None {
		return far
	}
	least, all := far, len(d.to)-1
	for set := range d.to {
		least = min(least, d.from[all&^set][u]+d.to[set][v])
	}
	return max(0, min(far, least+price-d.least))
}

// detourer finds detours in a network, of those that cost so much more than the cheapest and no
// more.
type detourer struct {
	net    *network
	prices *prices
	most   int
	limit  int
	heap   queue
	*detours
}

// detoursOf finds those of a source at the prices.
func (a *ascent) detoursOf(source, most int) *detours {
	n := a.networks.make(source, true)
	d := &detours{vertex: slices.Clone(a.networks.vertex)}
	takesLeads := func(node int) bool { return len(a.problem.Nodes[node].Ports) > 0 }
	if takesLeads(a.problem.Node[a.problem.Sources[source]]) || slices.ContainsFunc(a.wants[source], takesLeads) {
		d.anywhere = true
		return d
	}
	more := 0
	if n.leaves != graph.None {
		a.reckon(n)
		more = a.forsakes(n)
	}
	a.leasts.near(n, far)
	if slices.ContainsFunc(n.ends, func(e int) bool { return n.near[e] == far }) {
		d.anywhere = true
		return d
	}
	dear := slices.DeleteFunc(slices.Clone(n.ends), func(e int) bool { return n.near[e] == 0 })
	slices.SortStableFunc(dear, func(x, y int) int { return n.near[y] - n.near[x] })
	f := detourer{net: n, prices: a.prices, most: most + more, detours: d}
	f.find(dear[:min(len(dear), mostEnds)])
	d.least += more
	return d
}

// find finds the ways to and from all sets of some ends, as tree does, from the ends against the
// arcs and then from the root along them.
func (f *detourer) find(dear []int) {
	sets, vertices := 1<<len(dear), len(f.net.into)
	for _, e := range dear {
		f.limit += f.net.near[e]
	}
	f.limit += f.most
	for range sets {
		f.to, f.from = append(f.to, slices.Repeat([]int{far}, vertices)), append(f.from, slices.Repeat([]int{far}, vertices))
	}
	for _, e := range f.net.ends {
		if i := slices.Index(dear, e); i >= 0 {
			f.to[1<<i][e] = 0
		} else {
			f.to[0][e] = 0
		}
	}
	for set := range sets {
		for part := (set - 1) & set; part > 0; part = (part - 1) & set {
			f.join(f.to[set], f.to[part], f.to[set&^part])
		}
		f.spread(f.to[set], true)
	}
	f.from[0][f.net.root] = 0
	for set := range sets {
		for part := set; part > 0; part = (part - 1) & set {
			f.join(f.from[set], f.from[set&^part], f.to[part])
		}
		f.spread(f.from[set], false)
	}
	if sets > 1 {
		f.least = f.to[sets-1][f.net.root]
	}
}

// join makes ways of two at each vertex.
func (f *detourer) join(into, a, b []int) {
	for v := range into {
		into[v] = min(into[v], a[v]+b[v])
	}
}

// begin queues what is reached within the limit, and forgets the rest.
func (f *detourer) begin(cost []int) {
	f.heap = f.heap[:0]
	for v, c := range cost {
		if c > f.limit {
			cost[v] = far
			continue
		}
		f.heap.push(queued{c, 0, v})
	}
}

// spread goes on along the arcs, or back against them, where the way on to the root is within
// the limit.
func (f *detourer) spread(cost []int, back bool) {
	arcs := f.net.out
	if back {
		arcs = f.net.into
	}
	for f.begin(cost); len(f.heap) > 0; {
		top := f.heap.pop()
		if top.cost > cost[top.vertex] {
			continue
		}
		for _, i := range arcs[top.vertex] {
			a := &f.net.arcs[i]
			to, rest := int(a.to), 0
			if back {
				to, rest = int(a.from), f.net.near[a.from]
			}
			f.reach(cost, to, top.cost+f.prices.ofArc(a), rest)
		}
	}
}

func (f *detourer) reach(cost []int, v, c, rest int) {
	if c < cost[v] && c+rest <= f.limit {
		cost[v] = c
		f.heap.push(queued{c, 0, v})
	}
}
