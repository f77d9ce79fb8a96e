package arrange

import "bayhand/model/studio"

// A bay whose modes are set several pairs at once has groups: runs of pairs with
// one mode. In one whose modes are fixed each pair is a group with the mode that it
// has.

// findGroups gives each column of such a bay its group, and each group the mode that
// it must have: that of the pairs in it that are not arranged.
func (r *room) findGroups() {
	r.groups = make([]int, len(r.slots))
	of := map[[2]int]int{}
	for n, s := range r.slots {
		b := &r.studio.Bays[s.bay]
		r.groups[n] = none
		if b.SetModes != studio.ModesFixed && b.SetModes < 2 {
			continue
		}
		size := max(1, int(b.SetModes))
		key := [2]int{s.bay, (s.number - 1) / size}
		g, has := of[key]
		if !has {
			g = len(r.held)
			of[key] = g
			r.held = append(r.held, r.heldMode(b, key[1]*size+1, size))
		}
		r.groups[n] = g
		r.grouped = true
	}
}

// heldMode is the mode of a group that cannot be changed; unknown for one that can.
func (r *room) heldMode(b *studio.Bay, from, size int) studio.Mode {
	if b.SetModes == studio.ModesFixed {
		return b.Modes[from-1]
	}
	for pair := from; pair < from+size && pair <= b.Pairs(); pair++ {
		if r.stays[b.TopJack(pair)] {
			return b.Modes[pair-1]
		}
	}
	return studio.ModeUnknown
}

// costIn is what a column costs in a mode: what stands over or under a blank has
// nothing to be normalled to.
func (c *columns) costIn(n int, m studio.Mode) int64 {
	o, i := c.top[n], c.bottom[n]
	switch {
	case isNormal(m) && c.barred[pairing{o, i}]:
		return forbidden
	case isNormal(m) && (o == none || i == none):
		m = studio.Isolated
	}
	return c.column(o, i)[m]
}

// groupMode is the cheapest mode that all columns of a group may have, and what they
// cost in it together.
func (c *columns) groupMode(g int) (studio.Mode, int64) {
	choices := modes
	if held := c.room.held[g]; held != studio.ModeUnknown {
		choices = []studio.Mode{held}
	}
	mode, least := studio.Isolated, 2*forbidden
	for _, m := range choices {
		sum := int64(0)
		for n, of := range c.room.groups {
			if of == g {
				sum = min(sum+c.costIn(n, m), forbidden)
			}
		}
		if sum <= least {
			mode, least = m, sum
		}
	}
	return mode, least
}

// grouped is the cost of all columns of groups.
func (c *columns) groupCosts() int64 {
	sum := int64(0)
	for g := range c.room.held {
		_, cost := c.groupMode(g)
		sum += cost
	}
	return sum
}

// even gives the right side of a pair the half-normal that its left side has, or the
// other way round, where that costs a quarter of a plug a session at most: the two are
// plugged alike.
func (c *columns) even() {
	c.evened, c.sums = map[pairing]bool{}, nil
	for n := range c.top {
		if n == 0 || c.first[n] || !c.pairs(n) || c.groupOf(n) != none {
			continue
		}
		for _, side := range [][2]int{{n, n - 1}, {n - 1, n}} {
			c.evenOne(side[0], side[1])
		}
	}
}

// weight is that of all sessions together.
func (c *columns) weight() int64 {
	sum := int64(0)
	for _, w := range c.demand.weights {
		sum += w
	}
	return sum
}

// pairs says whether a column and the one before are the two sides of a pair in both
// rows.
func (c *columns) pairs(n int) bool {
	o, i := c.top[n], c.bottom[n]
	return o != none && i != none && c.room.outputs[o].right && c.room.inputs[i].right && c.top[n-1] == o-1 && c.bottom[n-1] == i-1
}

func (c *columns) evenOne(n, other int) {
	at := pairing{c.top[n], c.bottom[n]}
	costs := c.column(at.output, at.input)
	if c.mode(n) != studio.Isolated || c.mode(other) != studio.HalfNormal || c.barred[at] || costs[studio.HalfNormal] > costs[studio.Isolated]+c.weight()/4 {
		return
	}
	c.evened[at] = true
	c.sumOne(c.summed(), at)
	if c.cyclic() || cycleIn(c.below(), c.passes, c.canPass) != nil {
		delete(c.evened, at)
		c.sumOne(c.summed(), at)
	}
}

// groupOf is the group of a column, none for one whose mode is set alone.
func (c *columns) groupOf(n int) int {
	if !c.room.grouped {
		return none
	}
	return c.room.groups[n]
}
