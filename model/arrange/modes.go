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
			of[key], r.members = g, append(r.members, nil)
			r.held = append(r.held, r.heldMode(b, key[1]*size+1, size))
		}
		r.groups[n], r.members[g] = g, append(r.members[g], n)
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
		for _, n := range c.room.members[g] {
			sum = min(sum+c.pricing.costIn(c.pair(n), m), forbidden)
		}
		if sum <= least {
			mode, least = m, sum
		}
	}
	return mode, least
}

// groupCosts are those of the groups of which columns are in two spans, the second to the
// right of the first.
func (c *columns) groupCosts(a, b span) int64 {
	sum := int64(0)
	for _, s := range [...]span{a, b} {
		for n := s.from; n < s.to; n++ {
			if g := c.groupOf(n); g != none && n == c.room.firstOf(g, a, b) {
				_, cost := c.groupMode(g)
				sum += cost
			}
		}
	}
	return sum
}

// firstOf is the first column of a group that is in one of two spans.
func (r *room) firstOf(g int, a, b span) int {
	for _, n := range r.members[g] {
		if a.has(n) || b.has(n) {
			return n
		}
	}
	return none
}

// groupOf is the group of a column, none for one whose mode is set alone.
func (c *columns) groupOf(n int) int {
	if !c.room.grouped {
		return none
	}
	return c.room.groups[n]
}

// evened is the same layout in which the right side of a pair has the half-normal that
// its left side has, or the other way round, where that costs a quarter of a plug a
// session at most: the two are plugged alike.
func (c *columns) evened() *columns {
	d := *c
	d.pricing = c.pricing.unevened()
	e := evening{&d}
	for n := range d.top {
		if n == 0 || d.first[n] || !e.pairs(n) || d.groupOf(n) != none {
			continue
		}
		e.even(n, n-1)
		e.even(n-1, n)
	}
	return &d
}

// evening makes left and right alike in a layout whose pricing is its own.
type evening struct{ *columns }

// pairs says whether a column and the one before are the two sides of a pair in both
// rows.
func (c evening) pairs(n int) bool {
	o, i := c.top[n], c.bottom[n]
	return o != none && i != none && c.room.outputs[o].right && c.room.inputs[i].right && c.top[n-1] == o-1 && c.bottom[n-1] == i-1
}

// even gives a column the half-normal of the other side, where it may have one.
func (c evening) even(n, other int) {
	p, at := c.pricing, c.pair(n)
	costs := p.column(at.output, at.input)
	if c.mode(n) != studio.Isolated || c.mode(other) != studio.HalfNormal || p.barred[at] || costs[studio.HalfNormal] > costs[studio.Isolated]+p.weight/4 {
		return
	}
	p.even(at, true)
	if c.cyclic() || cycleIn(c.below(), p.passes, p.canPass) != nil {
		p.even(at, false)
	}
}
