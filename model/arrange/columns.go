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
	price  price
	// most is how many ports may change their jacks; negative for any number.
	most int
}

// price is what the objective counts, in tenths of a plug of all sessions: a plug,
// a line of wiring, left and right of a pair apart, kinds of line side by side,
// and a port that changes its jack.
type price struct {
	plug, line, apart, kinds int64
	// move is that of a port that changes its jack.
	move int64
}

// pairCost is what one column costs.
func (c *columns) pairCost(o, i int) int64 {
	_, cost := c.column(o, i).best(!c.barred[pairing{o, i}])
	return cost * c.price.plug
}

// breaks says whether a line of wiring ends between two ports that would stand
// side by side in a row.
func breaks(ports []port, left, right int) bool {
	return left == none || right == none || !follows(ports[left].point, ports[right].point)
}

// follows says whether a port is the next of the same kind of the same gear.
func follows(left, right name.Point) bool {
	return left.Owner == right.Owner && left.Stem == right.Stem && left.Part == right.Part && right.Number == left.Number+1
}

// seam is what stands between two columns side by side: the lines that begin at
// the right one, and what it costs to part left and right of a pair.
func (c *columns) seam(ports []port, row []int, n int) int64 {
	right := row[n]
	if right == none {
		return 0
	}
	left := none
	if !c.first[n] {
		left = row[n-1]
	}
	if !breaks(ports, left, right) {
		return 0
	}
	cost := c.price.line
	if isRight(ports, right) {
		cost += c.price.apart
	}
	return cost
}

// isRight says whether a port is the even one of two, of which the other comes to
// the bays as well: its left side (common practice, no published source).
func isRight(ports []port, p int) bool {
	at := ports[p].point
	return at.Number > 0 && at.Number%2 == 0 && p > 0 && follows(ports[p-1].point, at)
}

// score is the objective of all columns.
func (c *columns) score() int64 {
	sum := int64(0)
	for n := range c.top {
		sum += c.cell(n) + c.seams(n)
	}
	return sum
}

// cell is what the ports of one column cost there.
func (c *columns) cell(n int) int64 {
	cost := c.pairCost(c.top[n], c.bottom[n])
	if c.price.move > 0 {
		cost += c.price.move * int64(c.moved(n))
	}
	return cost
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
func (c *columns) strangers(n int) int64 {
	if c.first[n] || c.price.kinds == 0 {
		return 0
	}
	left, leftPhantom := c.kind(n - 1)
	right, rightPhantom := c.kind(n)
	switch {
	case left == right || left == studio.LineUnknown || right == studio.LineUnknown:
		return 0
	case leftPhantom || rightPhantom:
		return 4 * c.price.kinds
	}
	return c.price.kinds
}

// plugs and lines are the parts of the objective that people read.
func (c *columns) plugs() int64 {
	sum := int64(0)
	for n := range c.top {
		_, cost := c.column(c.top[n], c.bottom[n]).best(!c.barred[pairing{c.top[n], c.bottom[n]}])
		sum += cost
	}
	return sum
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
	for n, o := range c.top {
		if o != none && isNormal(c.mode(n)) {
			below[o] = c.bottom[n]
		}
	}
	return below
}

// mode is what the pair of a column does.
func (c *columns) mode(n int) studio.Mode {
	o, i := c.top[n], c.bottom[n]
	mode, _ := c.column(o, i).best(!c.barred[pairing{o, i}])
	return mode
}
