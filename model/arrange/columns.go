package arrange

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// columns are the columns of the bays in their order, blanks among them: of each
// the output at the top and the input at the bottom.
type columns struct {
	room *room
	*problem
	top, bottom []int
	// first[n] is true where column n does not follow column n-1 on the same bay.
	first []bool
	// barred are columns that get no normal, since it would close a cycle.
	barred map[pairing]bool
	// evened are columns with a half-normal that nobody asks for, since their other
	// side has one.
	evened map[pairing]bool
	price  price
	// most is how many ports may change their jacks; negative for any number.
	most int
	// sums are what all that costs; nil until they are asked for.
	sums *sums
}

// price is what the objective counts, in tenths of a plug of all sessions: a plug,
// a line of wiring, left and right of a pair apart, kinds of line side by side,
// and a port that changes its jack.
type price struct {
	// A unit is what an output costs that stands over what is not its own input, with
	// no normal.
	plug, line, apart, kinds, unit int64
	// move is that of a port that changes its jack.
	move int64
}

// cost is that of a column in the best mode that it may have.
func (c *columns) cost(o, i int) int64 {
	if len(c.evened) > 0 && c.evened[pairing{o, i}] {
		return c.column(o, i)[studio.HalfNormal]
	}
	if len(c.barred) > 0 && c.barred[pairing{o, i}] {
		_, cost := c.column(o, i).best(false)
		return cost
	}
	return c.least(o, i)
}

// breaks says whether a line of wiring ends between two ports that would stand
// side by side in a row.
func breaks(ports []port, left, right int) bool {
	return left == none || right != left+1 || !ports[right].follows
}

// follows says whether a port is the next of the same kind of the same gear.
func follows(left, right name.Point) bool {
	return left.Owner == right.Owner && left.Stem == right.Stem && left.Part == right.Part && right.Number == left.Number+1
}

// gap is what stands between two columns side by side; left is none where a bay
// begins.
func (c *columns) gap(left, right int) int64 {
	s := c.summed()
	if left == none {
		return s.top.seam(none, c.top[right]) + s.bottom.seam(none, c.bottom[right])
	}
	return s.top.seam(c.top[left], c.top[right]) + s.bottom.seam(c.bottom[left], c.bottom[right]) + c.strangers(left, right)
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

// score is the objective of all columns.
func (c *columns) score() int64 {
	sum := int64(0)
	for n := range c.top {
		sum += c.cell(n) + c.seams(n)
	}
	return sum + c.wide(0, len(c.top)-1)
}

// wide is what columns cost together, as far as an exchange from one of them to another
// can change that: those of groups, and those of several zones.
func (c *columns) wide(a, b int) int64 {
	sum := int64(0)
	if c.room.grouped {
		sum += c.groupCosts() * c.price.plug
	}
	if c.room.zoned && c.begins(a, b+1) {
		sum += c.zoneCosts()
	}
	return sum
}

// cell is what the ports of one column cost there; in a group their plugs are
// counted with it.
func (c *columns) cell(n int) int64 {
	cost, s := int64(0), c.summed()
	if c.groupOf(n) == none {
		cost = s.cells[s.at(c.top[n], c.bottom[n])]
	} else {
		cost = c.unit(c.top[n], c.bottom[n])
	}
	if c.room.microphones != none && c.misplaced(n) {
		cost += c.price.kinds
	}
	if c.price.move > 0 {
		cost += c.price.move * int64(c.moved(n))
	}
	return cost
}

// astray says whether an output of a unit stands over what is not its own input, with
// no normal between them.
func (c *columns) astray(o, i int) bool {
	own := c.room.outputs[o].own
	return own != none && own != i && c.column(o, i)[studio.Isolated] <= c.least(o, i)
}

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

// strangers is the cost of lines of different kinds in two columns side by side,
// more where one of them can carry phantom power.
func (c *columns) strangers(left, right int) int64 {
	if c.price.kinds == 0 || !c.room.mixed {
		return 0
	}
	kind, phantom := c.kind(left)
	other, otherPhantom := c.kind(right)
	switch {
	case kind == other || kind == studio.LineUnknown || other == studio.LineUnknown:
		return 0
	case phantom || otherPhantom:
		return 4 * c.price.kinds
	}
	return c.price.kinds
}

// plugs and lines are the parts of the objective that people read.
func (c *columns) plugs() int64 {
	sum := int64(0)
	for n := range c.top {
		if c.groupOf(n) == none {
			sum += c.cost(c.top[n], c.bottom[n])
		}
	}
	return sum + c.groupCosts()
}

func (c *columns) lines() int {
	count := 0
	for n := range c.top {
		for _, r := range []struct {
			ports []port
			row   []int
		}{{c.room.outputs, c.top}, {c.room.inputs, c.bottom}} {
			if r.row[n] != none && (c.first[n] || breaks(r.ports, r.row[n-1], r.row[n])) {
				count++
			}
		}
	}
	return count
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

// cyclic says whether the normals make a cycle with what gear always passes.
func (c *columns) cyclic() bool { return cycleIn(c.below(), c.passes, nil) != nil }

func (c *columns) below() []int {
	below := make([]int, len(c.room.outputs))
	for o := range below {
		below[o] = none
	}
	s := c.summed()
	for n, o := range c.top {
		normal := s.normals[s.at(o, c.bottom[n])]
		if c.groupOf(n) != none {
			normal = o != none && c.bottom[n] != none && isNormal(c.mode(n))
		}
		if normal {
			below[o] = c.bottom[n]
		}
	}
	return below
}

// mode is what the pair of a column does.
func (c *columns) mode(n int) studio.Mode {
	if g := c.groupOf(n); g != none {
		mode, _ := c.groupMode(g)
		return mode
	}
	at := pairing{c.top[n], c.bottom[n]}
	if c.room.idles[n] && at.output == none && at.input == none {
		s := c.room.slots[n]
		return c.room.studio.Bays[s.bay].Modes[s.number-1]
	}
	return c.pairMode(at.output, at.input)
}
