package arrange

import (
	"cmp"
	"math"
	"slices"

	"bayhand/model/studio"
)

// bringNear orders the blocks of each bay so that cords are short, and changes
// neither the plugs nor the lines. A block is a run of columns that lines of
// wiring hold together; the order of blocks in a row is a single-row facility
// layout. It is exact for up to fifteen blocks (Picard and Queyranne, On the
// one-dimensional space allocation problem, Operations Research 29, 1981: dynamic
// programming over subsets, where a block that is added at the right pulls all
// flow between what stands already and what does not over its own width); beyond
// that blocks are exchanged as long as the cords become shorter.
// Before that runs of columns on whatever bay change places as long as the cords of all
// bays become shorter together (across.go); the blanks are at the end of each bay.
func bringNear(c *columns, q *Request) {
	flow := wantsByCord(c, q.Sessions)
	newNearness(c, flow).bringAcross(q.Effort * 1_000_000 / 8)
	tidy(c, q)
}

// tidy puts the blanks of each bay at its end and its blocks in order.
func tidy(c *columns, q *Request) {
	o := ordering{c, wantsByCord(c, q.Sessions)}
	for _, bay := range c.bays() {
		o.close(bay.from, bay.to)
	}
	for _, bay := range c.bays() {
		o.orderBay(bay.from, o.lastUsed(bay.from, bay.to))
	}
}

// bays are the runs of columns that follow each other on one.
func (c *columns) bays() []span {
	var all []span
	for n, begins := range c.first {
		if begins {
			all = append(all, span{n, n})
		}
		all[len(all)-1].to = n + 1
	}
	return all
}

// ordering puts blocks of columns in another order.
type ordering struct {
	*columns
	flow map[pairing]int64 // cords from outputs to inputs, by weight
}

// close moves blanks to the end of a bay, but for those that keep lines of different
// kinds apart.
func (c ordering) close(from, to int) {
	var used, spare []int
	last := studio.LineUnknown
	for n := from; n < to; n++ {
		if c.blank(n) {
			spare = append(spare, n)
			continue
		}
		kind, _ := c.kind(n)
		if last != studio.LineUnknown && kind != last && len(spare) > 0 && spare[len(spare)-1] == n-1 {
			used, spare = append(used, n-1), spare[:len(spare)-1]
		}
		used, last = append(used, n), kind
	}
	top, bottom := clone(c.top), clone(c.bottom)
	for at, n := range append(used, spare...) {
		c.top[from+at], c.bottom[from+at] = top[n], bottom[n]
	}
	c.place(from, to)
}

// lastUsed is the end of a bay without the blanks at its end.
func (c ordering) lastUsed(from, to int) int {
	for to > from && c.blank(to-1) {
		to--
	}
	return to
}

// block is a run of columns.
type block struct{ from, size int }

// blocks are the runs of a bay that may be moved as wholes.
func (c ordering) blocks(from, to int) []block {
	var all []block
	for n := from; n < to; n++ {
		if n > from && !c.splits(n) {
			all[len(all)-1].size++
			continue
		}
		all = append(all, block{n, 1})
	}
	return all
}

// splits says whether no line of wiring, and no blank that keeps kinds apart,
// holds a column to the one before.
func (c ordering) splits(n int) bool {
	return !c.holds(n) && !c.blank(n-1) && !c.blank(n)
}

// holds says whether a line of wiring goes on from the column before in one of the rows.
func (c *columns) holds(n int) bool {
	for _, r := range c.rows() {
		if r.at[n] != none && !breaks(r.ports, r.at[n-1], r.at[n]) {
			return true
		}
	}
	return false
}

// orderBay puts the blocks of one bay in a better order, kind by kind.
func (c ordering) orderBay(from, to int) {
	all := c.blocks(from, to)
	for a := 0; a < len(all); {
		b := a + 1
		kind, _ := c.kind(all[a].from)
		for b < len(all) {
			if next, _ := c.kind(all[b].from); next != kind {
				break
			}
			b++
		}
		if b-a > 1 {
			order := c.chained(all[a:b], c.flows(all[a:b]))
			c.permute(all[a:b], order)
		}
		a = b
	}
}

// chained is an order of blocks. Those that cords join, one with another, and those of the
// same gear stand side by side, as near as can be: nothing between them makes their cords
// longer. Otherwise they stand in the order of the file.
func (c ordering) chained(blocks []block, flow [][]int64) []int {
	var groups [][]int
	earlier := c.ascending(blocks)
	of := make([]int, len(blocks))
	for n := range blocks {
		of[n] = none
	}
	for n := range blocks {
		if of[n] != none {
			continue
		}
		of[n] = len(groups)
		group := []int{n}
		for k := 0; k < len(group); k++ {
			for m, cords := range flow[group[k]] {
				if of[m] == none && (cords > 0 || slices.Contains(earlier[m], group[k]) || slices.Contains(earlier[group[k]], m)) {
					of[m], group = of[n], append(group, m)
				}
			}
		}
		groups = append(groups, c.nearest(blocks, flow, earlier, group))
	}
	slices.SortStableFunc(groups, func(a, b []int) int { return cmp.Compare(c.earliestOf(blocks, a), c.earliestOf(blocks, b)) })
	return slices.Concat(groups...)
}

// nearest are the blocks of a group in their best order; of it and its mirror the one
// that begins as the file does.
func (c ordering) nearest(blocks []block, flow [][]int64, earlier [][]int, group []int) []int {
	slices.Sort(group)
	widths, flows, before := make([]int64, len(group)), make([][]int64, len(group)), make([][]int, len(group))
	for a, n := range group {
		widths[a] = int64(blocks[n].size)
		for b, m := range group {
			flows[a] = append(flows[a], flow[n][m])
			if slices.Contains(earlier[n], m) {
				before[a] = append(before[a], b)
			}
		}
	}
	order := make([]int, len(group))
	for at, n := range bestOrder(widths, flows, before) {
		order[at] = group[n]
	}
	if slices.ContainsFunc(before, func(all []int) bool { return len(all) > 0 }) {
		return order
	}
	if c.earliest(blocks[order[0]]) > c.earliest(blocks[order[len(order)-1]]) {
		slices.Reverse(order)
	}
	return order
}

func (c ordering) earliestOf(blocks []block, group []int) int {
	first := c.earliest(blocks[group[0]])
	for _, n := range group {
		first = min(first, c.earliest(blocks[n]))
	}
	return first
}

// ascending are, of each block, those that have to stand to its left: the ports of one
// direction of a gear ascend from left to right. Where the two rows disagree the upper one
// is right.
func (c ordering) ascending(blocks []block) [][]int {
	earlier := make([][]int, len(blocks))
	for _, row := range c.rows() {
		for n, b := range blocks {
			for m, d := range blocks {
				if n != m && !slices.Contains(earlier[m], n) && ascends(row.ports, row.at[d.from:d.from+d.size], row.at[b.from:b.from+b.size]) {
					earlier[n] = append(earlier[n], m)
				}
			}
		}
	}
	return earlier
}

// ascends says whether a run has a port that another one has a later one of.
func ascends(ports []port, first, later []int) bool {
	for _, p := range first {
		for _, q := range later {
			if p == none || q == none || p > q {
				continue
			}
			if a, b := ports[p].point, ports[q].point; a.Owner == b.Owner && a.Stem == b.Stem && a.Part == b.Part {
				return true
			}
		}
	}
	return false
}

// earliest is where a block stands by the order of the file: that of the gear of its
// outputs, or of its inputs where it has none.
func (c ordering) earliest(b block) int {
	first := math.MaxInt
	for _, row := range c.rows() {
		for n := b.from; n < b.from+b.size && first == math.MaxInt; n++ {
			if p := row.at[n]; p != none {
				first = row.ports[p].gear*2*(len(c.room.outputs)+len(c.room.inputs)) + p
			}
		}
	}
	return first
}

// flows are how often cords run between two blocks, by weight.
func (c ordering) flows(blocks []block) [][]int64 {
	of := map[pairing]int{} // block of an output, or of an input
	for n, b := range blocks {
		for col := b.from; col < b.from+b.size; col++ {
			of[pairing{c.top[col], none}], of[pairing{none, c.bottom[col]}] = n, n
		}
	}
	all := make([][]int64, len(blocks))
	for n := range all {
		all[n] = make([]int64, len(blocks))
	}
	for want, w := range c.flow {
		a, has := of[pairing{want.output, none}]
		b, ok := of[pairing{none, want.input}]
		if has && ok && a != b {
			all[a][b] += w
			all[b][a] += w
		}
	}
	return all
}

// permute puts blocks into another order in their own columns.
func (c ordering) permute(blocks []block, order []int) {
	var top, bottom []int
	for _, n := range order {
		b := blocks[n]
		top, bottom = append(top, c.top[b.from:b.from+b.size]...), append(bottom, c.bottom[b.from:b.from+b.size]...)
	}
	copy(c.top[blocks[0].from:], top)
	copy(c.bottom[blocks[0].from:], bottom)
	c.place(blocks[0].from, blocks[0].from+len(top))
}
