package arrange

import (
	"cmp"
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
)

// nearness is how far the cords of a layout span on all bays.
type nearness struct {
	c *columns
	// spots are where the upper jack of each column stands.
	spots []layout.Spot
	// topAt and bottomAt are the columns of the ports.
	topAt, bottomAt []int
	// to are the cords of each output, from those of each input.
	to, from [][]cords
}

// cords go to a port so often.
type cords struct {
	port   int
	weight int64
}

func newNearness(c *columns, flow map[pairing]int64) *nearness {
	n := &nearness{
		c: c, topAt: make([]int, len(c.room.outputs)), bottomAt: make([]int, len(c.room.inputs)),
		to: make([][]cords, len(c.room.outputs)), from: make([][]cords, len(c.room.inputs)),
	}
	for _, s := range c.room.slots {
		spot, _ := layout.At(c.room.studio, c.room.studio.Bays[s.bay].TopJack(s.number))
		n.spots = append(n.spots, spot)
	}
	for want, weight := range flow {
		n.to[want.output] = append(n.to[want.output], cords{want.input, weight})
		n.from[want.input] = append(n.from[want.input], cords{want.output, weight})
	}
	n.place(0, len(c.top))
	return n
}

func (n *nearness) place(from, to int) {
	for at := from; at < to; at++ {
		if o := n.c.top[at]; o != none {
			n.topAt[o] = at
		}
		if i := n.c.bottom[at]; i != none {
			n.bottomAt[i] = at
		}
	}
}

// way is how far a cord from the output in a column to the input in another spans.
func (n *nearness) way(from, to int) measure.Length {
	spot := n.spots[to]
	spot.Y -= layout.Below
	return n.spots[from].Distance(spot)
}

// of is how far the cords of two runs of columns span.
func (n *nearness) of(a, b, size int) measure.Length {
	sum := measure.Length(0)
	within := func(at int) bool { return a <= at && at < a+size || b <= at && at < b+size }
	for k := range 2 * size {
		at := a + k
		if k >= size {
			at = b + k - size
		}
		if o := n.c.top[at]; o != none {
			for _, f := range n.to[o] {
				sum += measure.Length(f.weight) * n.way(at, n.bottomAt[f.port])
			}
		}
		if i := n.c.bottom[at]; i != none {
			for _, f := range n.from[i] {
				if from := n.topAt[f.port]; !within(from) {
					sum += measure.Length(f.weight) * n.way(from, at)
				}
			}
		}
	}
	return sum
}

// exchange makes two runs of columns change places, and back.
func (n *nearness) exchange(a, b, size int) {
	swap(n.c.top, a, b, size)
	swap(n.c.bottom, a, b, size)
	n.place(a, a+size)
	n.place(b, b+size)
}

// bringAcross exchanges runs of columns, of whatever bays, where the cords become shorter
// and the objective no worse. It stops after so many looks at an exchange. Only runs that
// no line of wiring holds to what is beside them are looked at.
func (c *columns) bringAcross(flow map[pairing]int64, limit int) {
	n := newNearness(c, flow)
	for better := true; better && limit > 0; {
		better = false
		for _, r := range c.loose() {
			if limit--; limit < 0 {
				break
			}
			better = n.shorter(r[0], r[1], r[2]) || better
		}
	}
}

// shorter makes an exchange where the cords become shorter and the objective no worse.
func (n *nearness) shorter(a, b, size int) bool {
	c := n.c
	before, way := c.aroundBoth(a, b, size), n.of(a, b, size)
	n.exchange(a, b, size)
	if n.of(a, b, size) < way && c.aroundBoth(a, b, size) <= before && c.fewMoves() {
		return true
	}
	n.exchange(a, b, size)
	return false
}

// mostLoose is how long the runs are that change places between bays.
const mostLoose = 16

// loose are pairs of runs of one length that begin and end where nothing holds them: the
// first columns of both and the length, the shorter runs first.
func (c *columns) loose() [][3]int {
	var ends []int
	for n := range c.top {
		if c.parts(n) {
			ends = append(ends, n)
		}
	}
	at := make(map[int]bool, len(ends)+1)
	for _, n := range append(ends, len(c.top)) {
		at[n] = true
	}
	var all [][3]int
	for k, a := range ends {
		for size := 1; size <= mostLoose && a+size <= len(c.top) && !(size > 1 && c.first[a+size-1]); size++ {
			if !at[a+size] {
				continue
			}
			for _, b := range ends[k+1:] {
				if b >= a+size && at[b+size] && !c.begins(b, b+size) {
					all = append(all, [3]int{a, b, size})
				}
			}
		}
	}
	slices.SortStableFunc(all, func(x, y [3]int) int { return cmp.Compare(x[2], y[2]) })
	return all
}

// parts says whether no line of wiring holds a column to the one before.
func (c *columns) parts(n int) bool {
	return c.first[n] || !c.holds(c.room.outputs, c.top, n) && !c.holds(c.room.inputs, c.bottom, n)
}
