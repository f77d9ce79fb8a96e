package arrange

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// score is the objective of all columns.
func (c *columns) score() int64 {
	sum, n := int64(0), len(c.top)
	for n := range c.top {
		sum += c.cell(n) + c.seams(n)
	}
	return sum + c.wide(span{0, n}, span{n, n})
}

// span are the columns from one to before another.
type span struct{ from, to int }

func (s span) has(n int) bool { return s.from <= n && n < s.to }

// cell is what the ports of one column cost there; in a group their plugs are
// counted with it.
func (c *columns) cell(n int) int64 {
	cost, p := int64(0), c.pricing
	if c.groupOf(n) == none {
		cost = p.cell(c.top[n], c.bottom[n])
	} else {
		cost = p.unit(c.top[n], c.bottom[n])
	}
	return cost + c.standing(n)
}

// standing is what a column costs since it stands there: microphones on a bay of other
// lines or the other way round, and ports that were on other jacks.
func (c *columns) standing(n int) int64 {
	cost := int64(0)
	if c.room.microphones != none && c.misplaced(n) {
		cost += c.pricing.price.kinds
	}
	if c.move > 0 {
		cost += c.move * int64(c.moved(n))
	}
	return cost
}

// misplaced says whether a column with a microphone line stands on a bay of others, or
// one with another line on theirs.
func (c *columns) misplaced(n int) bool {
	if c.room.microphones == none {
		return false
	}
	kind, phantom := c.kind(n)
	return kind != studio.LineUnknown && (kind == studio.MicLevel || phantom) != (c.room.slots[n].bay == c.room.microphones)
}

// gap is what stands between two columns side by side; left is none where a bay
// begins.
func (c *columns) gap(left, right int) int64 {
	p := c.pricing
	if left == none {
		return p.top.seam(none, c.top[right]) + p.bottom.seam(none, c.bottom[right])
	}
	return p.top.seam(c.top[left], c.top[right]) + p.bottom.seam(c.bottom[left], c.bottom[right]) + c.strangers(left, right)
}

// strangers is the cost of lines of different kinds in two columns side by side,
// more where one of them can carry phantom power.
func (c *columns) strangers(left, right int) int64 {
	kinds := c.pricing.price.kinds
	if kinds == 0 || !c.room.mixed {
		return 0
	}
	kind, phantom := c.kind(left)
	other, otherPhantom := c.kind(right)
	switch {
	case kind == other || kind == studio.LineUnknown || other == studio.LineUnknown:
		return 0
	case phantom || otherPhantom:
		return 4 * kinds
	}
	return kinds
}

// seams are what stands before a column.
func (c *columns) seams(n int) int64 {
	switch {
	case n >= len(c.top):
		return 0
	case c.first[n]:
		return c.gap(none, n)
	}
	return c.gap(n-1, n)
}

// wide is what the columns of two spans cost together with all others: their groups,
// and where they are of several bays their zones.
func (c *columns) wide(a, b span) int64 {
	sum := int64(0)
	if c.room.grouped {
		sum += c.groupCosts(a, b) * c.pricing.price.plug
	}
	if c.room.zoned && (c.begins(a.from, a.to) || b.from < b.to && c.begins(a.from, b.to)) {
		sum += c.zoneCosts(a, b) * c.pricing.price.plug
	}
	return sum
}

// aroundBoth is the part of the objective that two runs have, and the groups that
// they are in.
func (c *columns) aroundBoth(a, b, size int) int64 {
	sum := c.around(a, size) + c.around(b, size)
	if b == a+size {
		sum -= c.seams(b) // it lies in both
	}
	return sum + c.wide(span{a, a + size}, span{b, b + size})
}

// around is the part of the objective that a run has: its columns, and the seams
// from the one before it to the one behind.
func (c *columns) around(from, size int) int64 {
	sum := int64(0)
	for n := from; n < from+size; n++ {
		sum += c.cell(n) + c.seams(n)
	}
	return sum + c.seams(from+size)
}

// turned is what the objective gains when the first columns of a range move behind
// the others. The pairs stay together, so that only seams change, and of those
// three where no bay begins within the range and no port has a price on its jack.
func (c *columns) turned(a, end, by int) int64 {
	if c.move > 0 || c.room.grouped || c.begins(a, end) {
		before := c.between(a, end)
		c.turn(a, end, by)
		change := c.between(a, end) - before
		c.turn(a, end, end-a-by)
		return change
	}
	left := none
	if !c.first[a] {
		left = a - 1
	}
	change := c.gap(left, a+by) + c.gap(end-1, a) - c.gap(left, a) - c.gap(a+by-1, a+by)
	if end < len(c.top) && !c.first[end] {
		change += c.gap(a+by-1, end) - c.gap(end-1, end)
	}
	return change
}

// between is the part of the objective from a column to another that moving runs
// changes: the pairs stay together, and where there are groups go from one to another.
func (c *columns) between(a, end int) int64 {
	sum := c.seams(end)
	for n := a; n < end; n++ {
		sum += c.seams(n)
		if c.room.grouped {
			sum += c.cell(n)
		} else {
			sum += c.standing(n)
		}
	}
	return sum + c.wide(span{a, end}, span{end, end})
}

// plugs and lines are the parts of the objective that people read.
func (c *columns) plugs() int64 {
	sum, all := int64(0), len(c.top)
	for n := range c.top {
		if c.groupOf(n) == none {
			sum += c.pricing.cost(c.pair(n))
		}
	}
	return sum + c.groupCosts(span{0, all}, span{all, all})
}

func (c *columns) lines() int {
	count := 0
	for n := range c.top {
		for _, r := range c.rows() {
			if r.at[n] != none && (c.first[n] || breaks(r.ports, r.at[n-1], r.at[n])) {
				count++
			}
		}
	}
	return count
}

// row is one of the two rows of jacks, with the ports by number that stand in it.
type row struct {
	part  part
	ports []port
	at    []int
}

// rows are the upper one and the lower one.
func (c *columns) rows() [2]row {
	return [2]row{{tops, c.room.outputs, c.top}, {bottoms, c.room.inputs, c.bottom}}
}

// breaks says whether a line of wiring ends between two ports that would stand
// side by side in a row.
func breaks(ports []port, left, right int) bool {
	return left == none || right != left+1 || !ports[right].follows
}

// leastLines is how few lines any layout has: one for each kind of port of each
// piece of gear.
func (r *room) leastLines() int {
	count := 0
	for _, ports := range [][]port{r.outputs, r.inputs} {
		for n := range ports {
			if n == 0 || breaks(ports, n-1, n) {
				count++
			}
		}
	}
	return count
}

// follows says whether a port is the next of the same kind of the same gear.
func follows(left, right name.Point) bool {
	return left.Owner == right.Owner && left.Stem == right.Stem && left.Part == right.Part && right.Number == left.Number+1
}
