package arrange

import (
	"bayhand/model/studio"
	"slices"
)

// columns are the columns of the bays in their order, blanks among them: of each
// the output at the top and the input at the bottom.
type columns struct {
	room        *room
	pricing     *pricing
	top, bottom []int
	// topAt and bottomAt are the columns of the ports.
	topAt, bottomAt []int
	// first[n] is true where column n does not follow column n-1 on the same bay.
	first []bool
	// move is what a port costs that changes its jack, in tenths of a plug.
	move int64
}

// newColumns are all columns of a room, blank.
func newColumns(r *room, p *pricing) *columns {
	c := &columns{room: r, pricing: p, topAt: blanks(len(r.outputs)), bottomAt: blanks(len(r.inputs))}
	c.top, c.bottom = blanks(len(r.slots)), blanks(len(r.slots))
	for n := range r.slots {
		c.first = append(c.first, r.begins(n))
	}
	return c
}

// blanks are so many.
func blanks(n int) []int { return slices.Repeat([]int{none}, n) }

// copied is the same layout, to be put into another order.
func (c *columns) copied() *columns {
	d := *c
	d.top, d.bottom, d.topAt, d.bottomAt = clone(c.top), clone(c.bottom), clone(c.topAt), clone(c.bottomAt)
	return &d
}

// put makes a pair stand in a column.
func (c *columns) put(n int, p pairing) {
	c.top[n], c.bottom[n] = p.output, p.input
	c.place(n, n+1)
}

// pair is what stands in a column.
func (c *columns) pair(n int) pairing { return pairing{c.top[n], c.bottom[n]} }

// blank says whether nothing stands in a column.
func (c *columns) blank(n int) bool { return c.top[n] == none && c.bottom[n] == none }

// place notes where the ports of some columns stand.
func (c *columns) place(from, to int) {
	for n := from; n < to; n++ {
		if o := c.top[n]; o != none {
			c.topAt[o] = n
		}
		if i := c.bottom[n]; i != none {
			c.bottomAt[i] = n
		}
	}
}

// part is what of the columns changes places.
type part int

const (
	tops part = iota
	bottoms
	both
	turning // a run of columns goes behind others
)

// swap makes two runs of columns, or of their upper or lower jacks, change places; a
// second time puts them back.
func (c *columns) swap(p part, a, b, size int) {
	if p != bottoms {
		swap(c.top, c.topAt, a, b, size)
	}
	if p != tops {
		swap(c.bottom, c.bottomAt, a, b, size)
	}
}

func swap(row, at []int, a, b, size int) {
	for n := range size {
		left, right := row[a+n], row[b+n]
		row[a+n], row[b+n] = right, left
		if left != none {
			at[left] = b + n
		}
		if right != none {
			at[right] = a + n
		}
	}
}

// turn moves the first columns of a range behind the others.
func (c *columns) turn(a, end, by int) {
	turn(c.top[a:end], by)
	turn(c.bottom[a:end], by)
	c.place(a, end)
}

// turn moves the first elements of a row behind the others: each part is reversed,
// then the whole.
func turn(row []int, by int) {
	slices.Reverse(row[:by])
	slices.Reverse(row[by:])
	slices.Reverse(row)
}

// columnOf is where a port of a row stands.
func (c *columns) columnOf(p part, port int) int {
	if p == tops {
		return c.topAt[port]
	}
	return c.bottomAt[port]
}

// begins says whether a bay begins behind the first column of a range.
func (c *columns) begins(a, end int) bool { return c.room.runs[a] != c.room.runs[end-1] }

// moved is how many ports of a column were on another jack.
func (c *columns) moved(n int) int {
	count, s := 0, c.room.slots[n]
	bay := &c.room.studio.Bays[s.bay]
	if o := c.top[n]; o != none && c.room.outputs[o].jack != bay.TopJack(s.number) {
		count++
	}
	if i := c.bottom[n]; i != none && c.room.inputs[i].jack != bay.BottomJack(s.number) {
		count++
	}
	return count
}

func (c *columns) moves() int {
	count := 0
	for n := range c.top {
		count += c.moved(n)
	}
	return count
}

// kind is the kind of line in a column, unknown for blanks.
func (c *columns) kind(n int) (kind studio.LineKind, phantom bool) {
	if o := c.top[n]; o != none {
		kind = c.room.outputs[o].kind
	}
	if i := c.bottom[n]; i != none {
		kind, phantom = c.room.inputs[i].kind, c.room.inputs[i].phantom
	}
	return kind, phantom
}

// cyclic says whether the normals make a cycle with what gear always passes.
func (c *columns) cyclic() bool { return cycleIn(c.below(), c.pricing.passes, nil) != nil }

// below is of each output the input that it is normalled to, none where it is to none.
func (c *columns) below() []int {
	below := blanks(len(c.room.outputs))
	for n, o := range c.top {
		if c.normal(n) {
			below[o] = c.bottom[n]
		}
	}
	return below
}

// normal says whether a column has a normal.
func (c *columns) normal(n int) bool {
	if c.groupOf(n) != none {
		return c.top[n] != none && c.bottom[n] != none && isNormal(c.mode(n))
	}
	return c.pricing.normalled[c.pricing.at(c.top[n], c.bottom[n])]
}

// mode is what the pair of a column does.
func (c *columns) mode(n int) studio.Mode {
	if g := c.groupOf(n); g != none {
		mode, _ := c.groupMode(g)
		return mode
	}
	if c.room.idles[n] && c.blank(n) {
		s := c.room.slots[n]
		return c.room.studio.Bays[s.bay].Modes[s.number-1]
	}
	return c.pricing.mode(c.pair(n))
}

// openCycles takes normals out until none closes a cycle, or those that are left are in
// groups whose mode is held, which costs more than anything. The pricing has to be of this
// layout alone.
func (c *columns) openCycles() {
	for {
		cycle := cycleIn(c.below(), c.pricing.passes, nil)
		at := slices.IndexFunc(cycle, func(p pairing) bool { return !c.pricing.barred[p] })
		if at < 0 {
			return
		}
		c.pricing.bar(cycle[at])
	}
}
