package arrange

import "bayhand/model/studio"

// forbidden is the cost of what is not allowed: more than all plugs together, and
// small enough that thousands of them can be summed.
const forbidden = int64(1) << 31

// none is a blank, in the place of an output or an input.
const none = -1

// demand is what the sessions ask of the outputs and inputs that come to the
// bays, by number.
type demand struct {
	outputs, inputs int
	// weights of the sessions.
	weights []int64
	// wants[s][o] are the inputs that want an output in a session.
	wants [][][]int
	// silent[s][i] is true where an input must hear nothing in a session.
	silent [][]bool
	// alien is true for an output and an input, or one of them and a blank, that may
	// not share a column; isolated where they may, without a normal; halved where
	// they have a half-normal and nothing else.
	alien, isolated, halved func(o, i int) bool
	// untapped is true for outputs that a tap would load, such as microphones: they
	// have a full normal where that costs no more. Nil for none.
	untapped func(o int) bool
	// always[i] is what an input costs in any column; nil for nothing.
	always []int64
}

// weight is that of all sessions together.
func (d *demand) weight() int64 {
	sum := int64(0)
	for _, w := range d.weights {
		sum += w
	}
	return sum
}

// plugs is how many plugs feed n destinations by cords from a source that offers
// t front jacks. Each is a cord of two plugs; where they are more than the jacks,
// a mult takes one cord more.
func plugs(n, t int) int64 {
	if n <= t {
		return int64(2 * n)
	}
	return int64(2*n + 2)
}

// column is the cost of an output over an input in each mode that a pair can
// have: the plugs of all sessions, from rest, times their weights. It is the sum
// over sessions of the following, with k the destinations that want the output, a
// whether the input is one of them, and q whether the input must be silent:
//
//	isolated                 f(k)
//	half-normal   a: f(k-1)             not a: f(k) + q
//	normal        a: 0 if k = 1, f(k)   not a: f(k) + q where k = 0
//	parallel      f(k) with two front jacks; only over or under a blank
//
// where f(n) are the plugs for n destinations by cord. The sum over all columns
// is what the planner takes from rest, where one bay is within reach and cords,
// dummies and mults are enough.
type column [studio.Parallel + 1]int64

// modes are those that a proposal may choose, the least surprising last: of equal
// costs the last counts.
var modes = []studio.Mode{studio.Parallel, studio.FullNormal, studio.HalfNormal, studio.Isolated}

func (d *demand) column(o, i int) column {
	c := d.modesOf(o, i)
	if i == none || d.always == nil {
		return c
	}
	for m := range c {
		c[m] = min(c[m]+d.always[i], forbidden)
	}
	return c
}

// modesOf are the costs of an output over an input, without what the input costs always.
func (d *demand) modesOf(o, i int) column {
	c := column{}
	for m := range c {
		c[m] = forbidden
	}
	if d.alien(o, i) {
		return c
	}
	if o != none && i != none && d.halved(o, i) {
		c[studio.HalfNormal] = d.over(o, func(s, k int) int64 { return d.halfNormal(s, o, i, k) })
		return c
	}
	c[studio.Isolated] = d.over(o, func(s, k int) int64 { return plugs(k, 1) })
	switch {
	case o == none && i == none:
	case o == none || i == none:
		c[studio.Parallel] = d.over(o, func(s, k int) int64 { return plugs(k, 2) })
	case !d.isolated(o, i):
		c[studio.HalfNormal] = d.over(o, func(s, k int) int64 { return d.halfNormal(s, o, i, k) })
		c[studio.FullNormal] = d.over(o, func(s, k int) int64 { return d.normal(s, o, i, k) })
		if d.untapped != nil && d.untapped(o) && c[studio.FullNormal] <= c[studio.HalfNormal] {
			c[studio.HalfNormal] = forbidden
		}
	}
	return c
}

// over sums what an output costs in each session.
func (d *demand) over(o int, cost func(s, k int) int64) int64 {
	sum := int64(0)
	for s, w := range d.weights {
		k := 0
		if o != none {
			k = len(d.wants[s][o])
		}
		sum += w * cost(s, k)
	}
	return sum
}

func (d *demand) halfNormal(s, o, i, k int) int64 {
	switch {
	case d.asks(s, o, i):
		return plugs(k-1, 1)
	case d.silent[s][i]:
		return plugs(k, 1) + 1
	}
	return plugs(k, 1)
}

func (d *demand) normal(s, o, i, k int) int64 {
	switch {
	case d.asks(s, o, i) && k == 1:
		return 0
	case d.silent[s][i] && k == 0:
		return 1
	}
	return plugs(k, 1)
}

func (d *demand) asks(s, o, i int) bool {
	for _, want := range d.wants[s][o] {
		if want == i {
			return true
		}
	}
	return false
}

// isNormal says whether a pair of a mode has a normal.
func isNormal(m studio.Mode) bool { return m == studio.HalfNormal || m == studio.FullNormal }

// best is the cheapest mode of a column, and its cost. With normal false it is
// the cheapest without a normal.
func (c column) best(normal bool) (studio.Mode, int64) {
	mode, least := studio.ModeUnknown, forbidden
	for _, m := range modes {
		if !normal && isNormal(m) {
			continue
		}
		if c[m] <= least {
			mode, least = m, c[m]
		}
	}
	return mode, least
}
