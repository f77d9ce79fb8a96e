package arrange

import (
	"cmp"
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
)

// nearness is how far the cords of a layout span on all bays.
type nearness struct {
	*columns
	// spots are where the upper jack of each column stands.
	spots []layout.Spot
	cords flow
}

func newNearness(c *columns, flow map[pairing]int64) *nearness {
	n := &nearness{columns: c, cords: emptyFlow(len(c.room.outputs), len(c.room.inputs))}
	for _, s := range c.room.slots {
		spot, _ := layout.At(c.room.studio, c.room.studio.Bays[s.bay].TopJack(s.number))
		n.spots = append(n.spots, spot)
	}
	for want, weight := range flow {
		n.cords.add(want, weight)
	}
	return n
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
		if o := n.top[at]; o != none {
			for _, f := range n.cords.to[o] {
				sum += measure.Length(f.weight) * n.way(at, n.bottomAt[f.port])
			}
		}
		if i := n.bottom[at]; i != none {
			for _, f := range n.cords.from[i] {
				if from := n.topAt[f.port]; !within(from) {
					sum += measure.Length(f.weight) * n.way(from, at)
				}
			}
		}
	}
	return sum
}

// bringAcross exchanges runs of columns, of whatever bays, where the cords become shorter
// and the objective no worse. It stops after so many looks at an exchange. Only runs that
// no line of wiring holds to what is beside them are looked at.
func (n *nearness) bringAcross(limit int) {
	for better := true; better && limit > 0; {
		better = false
		for _, r := range n.loose() {
			if limit--; limit < 0 {
				break
			}
			better = n.shorter(r[0], r[1], r[2]) || better
		}
	}
}

// shorter makes an exchange where the cords become shorter and the objective no worse.
func (n *nearness) shorter(a, b, size int) bool {
	before, way := n.aroundBoth(a, b, size), n.of(a, b, size)
	n.swap(both, a, b, size)
	if n.of(a, b, size) < way && n.aroundBoth(a, b, size) <= before {
		return true
	}
	n.swap(both, a, b, size)
	return false
}

// mostLoose is how long the runs are that change places between bays.
const mostLoose = 16

// loose are pairs of runs of one length that begin and end where nothing holds them: the
// first columns of both and the length, the shorter runs first.
func (n *nearness) loose() [][3]int {
	var ends []int
	for at := range n.top {
		if n.parts(at) {
			ends = append(ends, at)
		}
	}
	at := make(map[int]bool, len(ends)+1)
	for _, end := range append(ends, len(n.top)) {
		at[end] = true
	}
	var all [][3]int
	for k, a := range ends {
		for size := 1; size <= mostLoose && a+size <= len(n.top) && !(size > 1 && n.first[a+size-1]); size++ {
			if !at[a+size] {
				continue
			}
			for _, b := range ends[k+1:] {
				if b >= a+size && at[b+size] && !n.begins(b, b+size) {
					all = append(all, [3]int{a, b, size})
				}
			}
		}
	}
	slices.SortStableFunc(all, func(x, y [3]int) int { return cmp.Compare(x[2], y[2]) })
	return all
}

// parts says whether no line of wiring holds a column to the one before.
func (n *nearness) parts(at int) bool {
	return n.first[at] || !n.holds(at)
}
