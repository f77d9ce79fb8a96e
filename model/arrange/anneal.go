package arrange

import "math/bits"

// annealing looks for a better layout by exchanges that also worsen it: often at first,
// then less and less (Kirkpatrick, Gelatt and Vecchi, Optimization by simulated
// annealing, Science 220, 1983). Its lots come from a seed that is always the same, and
// all numbers are whole, so that every machine finds the same layout.
type annealing struct {
	c    *columns
	lots lots
	// heat is how much worse an exchange may make the layout, in 1/256.
	heat int64
	// score is the objective, best that of the best layout, which is kept.
	score, best           int64
	bestTops, bestBottoms []int
	// seen has the number of the search that came to an output last.
	seen   []int
	search int
}

// lots are drawn by a generator that is the same everywhere (Steele, Lea and Flood, Fast
// splittable pseudorandom number generators, OOPSLA 2014; its constants from memory).
type lots uint64

func (l *lots) next() uint64 {
	*l += 0x9e3779b97f4a7c15
	z := uint64(*l)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// step is an exchange of two runs of columns; where it turns, those from a on, so many,
// go behind the others up to b.
type step struct {
	part       part
	a, b, size int
}

// stages is in how many steps the heat falls, each by a sixteenth.
const stages = 72

// run leaves the best layout that it sees in so many looks at an exchange.
func (a *annealing) run(looks int) {
	c := a.c
	if len(c.top) < 2 {
		return
	}
	if c.room.grouped {
		looks /= 2 + len(c.top)/64 // whether normals make a cycle takes time linear in the columns
	}
	a.score, a.seen = c.score(), make([]int, len(c.room.outputs))
	a.keep()
	a.heat = 256 * max(c.pricing.price.line, 2*c.pricing.price.plug)
	for range stages {
		for range looks / stages {
			a.try(a.draw())
		}
		a.heat = a.heat * 15 / 16
	}
	copy(c.top, a.bestTops)
	copy(c.bottom, a.bestBottoms)
	c.place(0, len(c.top))
}

// keep takes the layout as the best.
func (a *annealing) keep() {
	a.best, a.bestTops, a.bestBottoms = a.score, append(a.bestTops[:0], a.c.top...), append(a.bestBottoms[:0], a.c.bottom...)
}

// try makes a step where it makes the layout better, or worse by no more than a lot
// allows, and no normals close a cycle.
func (a *annealing) try(s step) {
	c := a.c
	if s.a < 0 || s.b < s.a+s.size || s.b+s.size > len(c.top) {
		return
	}
	change := int64(0)
	if s.part == turning {
		if c.begins(s.a, s.b+s.size) {
			return // what lies between would change its bay
		}
		change = c.turned(s.a, s.b+s.size, s.size)
		if change > a.allowed() {
			return
		}
		c.turn(s.a, s.b+s.size, s.size)
	} else {
		before := c.aroundBoth(s.a, s.b, s.size)
		c.swap(s.part, s.a, s.b, s.size)
		change = c.aroundBoth(s.a, s.b, s.size) - before
		if change > 0 && change > a.allowed() || s.part != both && a.cyclic(s) || c.room.grouped && c.cyclic() {
			c.swap(s.part, s.a, s.b, s.size)
			return
		}
	}
	if a.score += change; a.score < a.best {
		a.keep()
	}
}

// allowed is a drawn part of the heat: of exponential distribution, by the binary
// logarithm of a number of 64 bits, whose whole part is exact and whose rest is a
// straight line.
func (a *annealing) allowed() int64 {
	lot := a.lots.next() | 1
	zeros := bits.LeadingZeros64(lot)
	rest := int64(lot << (zeros + 1) >> 56)
	return a.heat * (256*int64(zeros+1) - rest) >> 16
}

// cyclic says whether a normal in one of the runs leads back to itself.
func (a *annealing) cyclic(s step) bool {
	for n := range s.size {
		if a.returns(s.a+n) || a.returns(s.b+n) {
			return true
		}
	}
	return false
}

// returns says whether the normal of a column leads back to it.
func (a *annealing) returns(n int) bool {
	if !a.c.normal(n) {
		return false
	}
	a.search++
	return a.leads(n, a.c.top[n])
}

// leads says whether what is fed by the normal of a column leads to an output.
func (a *annealing) leads(n, to int) bool {
	for _, o := range a.c.pricing.passes[a.c.bottom[n]] {
		if o == to {
			return true
		}
		if a.seen[o] == a.search {
			continue
		}
		a.seen[o] = a.search
		if at := a.c.topAt[o]; a.c.normal(at) && a.leads(at, to) {
			return true
		}
	}
	return false
}

// draw is a step: one time in two one that makes a line of wiring longer.
func (a *annealing) draw() step {
	lot := a.lots.next()
	s := step{part: part(lot & 3), size: 1 << (lot >> 2 & 3)}
	if s.size == 1 && a.c.pricing.price.apart > 0 && lot>>4&3 > 0 {
		s.size = 2
	}
	s.a = a.below(lot>>8&0xfffffff, len(a.c.top))
	if lot>>6&1 == 0 {
		s.b = a.below(lot>>36, len(a.c.top))
	} else {
		s.a, s.b = a.joining(s, lot>>36)
	}
	if s.a > s.b {
		s.a, s.b = s.b, s.a
	}
	return s
}

// below is a lot of 28 bits as a number below n.
func (a *annealing) below(lot uint64, n int) int { return int(lot * uint64(n) >> 28) }

// joining are two runs, one of which comes to stand behind or before what it is one
// line with.
func (a *annealing) joining(s step, lot uint64) (from, to int) {
	row, at := a.c.top, a.c.topAt
	if s.part == bottoms || s.part != tops && lot&1 == 1 {
		row, at = a.c.bottom, a.c.bottomAt
	}
	n := s.a
	p := row[n]
	if p == none {
		return n, a.below(lot&0xfffffff, len(row))
	}
	if lot&2 == 0 && p > 0 { // behind the port before
		return n, at[p-1] + 1
	}
	if p+1 < len(at) { // before the port behind
		return n - s.size + 1, at[p+1] - s.size
	}
	return n, a.below(lot&0xfffffff, len(row))
}
