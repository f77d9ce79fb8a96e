package bound

import "slices"

// trunk is the cheapest ways of a source, as they were found last.
type trunk struct {
	// alone is the way to each end by itself, nil where none was looked for yet; together the
	// ways to those ends that cost something, and which they are.
	alone    map[int][]int
	together []int
	dear     []int
	all      []int // arcs of all of them
	free     bool  // that they cost nothing
}

// reckon finds the cheapest ways of a source, and what they cost. An end to which there is no
// way says nothing.
func (a *ascent) reckon(n *network) int {
	k := &n.trunk
	if k.alone == nil {
		k.alone = map[int][]int{}
	}
	if n.nearAt < a.leasts.times {
		a.leasts.near(n, a.limit(n))
	}
	k.all = k.all[:0]
	price := map[int]int{}
	var dear []int
	barred := false
	for _, e := range n.ends {
		switch price[e] = a.reckonAlone(n, e); {
		case price[e] == 0:
			k.all = append(k.all, k.alone[e]...)
		case price[e] < far:
			dear = append(dear, e)
		default:
			barred = true
		}
	}
	slices.SortStableFunc(dear, func(x, y int) int { return price[y] - price[x] })
	total := a.reckonTogether(n, dear[:min(len(dear), mostEnds)], price)
	k.free = total == 0 && !barred
	slices.Sort(k.all)
	k.all = slices.Compact(k.all)
	return total
}

// limit is what the ways to each end cost at most; far where one is not known.
func (a *ascent) limit(n *network) int {
	limit := 0
	for _, e := range n.ends {
		way, known := n.trunk.alone[e]
		if !known {
			return far
		}
		if way != nil {
			limit = max(limit, a.priceOfAll(n, way))
		}
	}
	return limit
}

// reckonAlone finds the cheapest way to one end, unless that of the time before costs no more than
// any does.
func (a *ascent) reckonAlone(n *network, end int) int {
	if n.near[end] == far {
		return far
	}
	limit := far
	way, known := n.trunk.alone[end]
	if known {
		limit = a.priceOfAll(n, way)
	}
	if limit == n.near[end] {
		return limit
	}
	price := a.tree.grow(n, []int{end}, limit)
	n.trunk.alone[end] = a.walk(n, []int{end}, way[:0])
	return price
}

// reckonTogether finds the cheapest ways to some ends together. What costs nothing by itself
// adds nothing to what others cost.
func (a *ascent) reckonTogether(n *network, ends []int, price map[int]int) int {
	k := &n.trunk
	switch len(ends) {
	case 0:
		return 0
	case 1:
		k.all = append(k.all, k.alone[ends[0]]...)
		return price[ends[0]]
	}
	limit := 0
	for _, e := range ends {
		limit += price[e]
	}
	slices.Sort(ends)
	if slices.Equal(ends, k.dear) {
		limit = min(limit, a.priceOfAll(n, k.together))
	}
	total := a.tree.grow(n, ends, limit)
	k.dear, k.together = append(k.dear[:0], ends...), a.walk(n, ends, k.together[:0])
	k.all = append(k.all, k.together...)
	return total
}

func (a *ascent) priceOfAll(n *network, arcs []int) int {
	total := 0
	for _, i := range arcs {
		total += a.prices.ofArc(&n.arcs[i])
	}
	a.tree.looks += len(arcs)
	return total
}

// walk lists the arcs of the tree that was found to some ends.
func (a *ascent) walk(n *network, ends, list []int) []int {
	a.tree.walk(1<<len(ends)-1, n.root, func(i int) { list = append(list, i) })
	return list
}
