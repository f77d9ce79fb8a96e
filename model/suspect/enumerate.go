package suspect

import (
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Mistakes of the kinds that reach from any jack to any other are looked at up to
// a number: extra cords up to mostFar, cords in any other jack up to mostElsewhere.
// In larger rooms those are left to the ear, and no cord is sure.
const (
	mostFar       = 12000
	mostElsewhere = 40000
)

// everywhere says whether cords in all other jacks are looked at.
func (c *Scene) everywhere(free []name.Point) bool {
	return 2*len(c.Patch.Cords)*len(free) <= mostElsewhere
}

// single are all mistakes that are looked for, one at a time, but wires.
func (c *Scene) single() []Mistake {
	free := c.free()
	var all []Mistake
	for i, cord := range c.Patch.Cords {
		if cord.B.IsZero() {
			continue
		}
		all = append(all, ofCord(c, cord)...)
		for _, end := range cord.Ends() {
			all = append(all, beside(c, cord, end)...)
			if c.everywhere(free) {
				all = append(all, elsewhere(cord, end, free)...)
			}
		}
		for _, other := range c.Patch.Cords[i+1:] {
			if !other.B.IsZero() {
				all = append(all, swapped(cord, other))
			}
		}
	}
	all = append(all, c.dummies()...)
	all = append(all, c.normals()...)
	all = append(all, crosspoints(c)...)
	if len(free)*len(free)/2 <= mostFar {
		all = append(all, extra(free)...)
	}
	return all
}

// ofCord are the faults of a cord where it is.
func ofCord(c *Scene, cord patch.Cord) []Mistake {
	missing := mistake(CordMissing, cord.A, cord.B)
	missing.out = cords(cord)
	dead := mistake(CordDead, cord.A, cord.B)
	dead.out, dead.in = cords(cord), loose(cord)
	all := []Mistake{missing, dead}
	for _, code := range []Code{LegDead, PolarityWrong, TwoPoles} {
		m := mistake(code, cord.A, cord.B)
		m.cord = cord
		all = append(all, m)
	}
	for _, end := range cord.Ends() {
		m := mistake(HalfIn, cord.A, cord.B, end)
		m.cord, m.half = cord, end
		all = append(all, m)
	}
	return all
}

// free are the jacks of bays without a plug, in order.
func (c *Scene) free() []name.Point {
	var free []name.Point
	for _, b := range c.Room.Studio().Bays {
		for n := 1; n <= b.Pairs(); n++ {
			for _, jack := range []name.Point{b.TopJack(n), b.BottomJack(n)} {
				if !c.plugged[jack] {
					free = append(free, jack)
				}
			}
		}
	}
	return free
}

func beside(c *Scene, cord patch.Cord, end name.Point) []Mistake {
	var all []Mistake
	for _, step := range []int{-1, 1} {
		to := end
		to.Number += step
		if to.Number > 0 && c.Room.Has(to) && !c.plugged[to] {
			all = append(all, inOther(CordBeside, cord, end, to))
		}
	}
	return all
}

func inOther(code Code, cord patch.Cord, end, to name.Point) Mistake {
	m := mistake(code, cord.A, cord.B, to)
	m.out, m.in = cords(cord), cords(moved(cord, end, to))
	return m
}

// elsewhere are all other free jacks.
func elsewhere(cord patch.Cord, end name.Point, free []name.Point) []Mistake {
	var all []Mistake
	for _, to := range free {
		near := to.Stem == end.Stem && (to.Number == end.Number-1 || to.Number == end.Number+1)
		if to.Owner != end.Owner || !near {
			all = append(all, inOther(CordElsewhere, cord, end, to))
		}
	}
	return all
}

// swapped are two cords that have each other's second ends; to exchange the first
// ones gives the same.
func swapped(a, b patch.Cord) Mistake {
	m := mistake(CordsSwapped, a.A, a.B, b.A, b.B)
	if besides(a.A, b.A) || besides(a.B, b.B) {
		m.Cost = swappedBeside
	}
	m.out, m.in = cords(a, b), cords(moved(a, a.B, b.B), moved(b, b.B, a.B))
	return m
}

func besides(p, q name.Point) bool {
	return p.Owner == q.Owner && p.Stem == q.Stem && (p.Number == q.Number+1 || p.Number == q.Number-1)
}

func (c *Scene) dummies() []Mistake {
	var all []Mistake
	for _, d := range c.Patch.Dummies {
		m := mistake(DummyMissing, d)
		m.out.Dummies = []name.Point{d}
		all = append(all, m)
	}
	return all
}

// normals are those that hold. A dead one is as one that a dummy breaks.
func (c *Scene) normals() []Mistake {
	var all []Mistake
	for _, b := range c.Room.Studio().Bays {
		for n := 1; n <= b.Pairs(); n++ {
			if !c.live.NormalHolds(b.Name, n) {
				continue
			}
			m := mistake(NormalDead, b.TopJack(n), b.BottomJack(n))
			breaks := b.BottomJack(n)
			if b.Modes[n-1] == studio.HalfNormalTop {
				breaks = b.TopJack(n)
			}
			m.in.Dummies = []name.Point{breaks}
			all = append(all, m)
		}
	}
	return all
}

// crosspoints that are open, or listen to another input.
func crosspoints(c *Scene) []Mistake {
	var all []Mistake
	for _, m := range c.Room.Studio().Matrices {
		for _, x := range c.Patch.Of(m.Name) {
			open := mistake(CrosspointOther, x.Output, x.Input)
			open.out.Crosspoints = []patch.Crosspoint{x}
			all = append(all, open)
			for n := 1; n <= m.Inputs && m.Inputs*m.Outputs <= mostFar/16; n++ {
				if m.In(n) == x.Input {
					continue
				}
				other := mistake(CrosspointOther, x.Output, x.Input, m.In(n))
				other.out.Crosspoints = []patch.Crosspoint{x}
				other.in.Crosspoints = []patch.Crosspoint{{Output: x.Output, Input: m.In(n)}}
				all = append(all, other)
			}
		}
	}
	return all
}

// extra are cords between two free jacks of one bay.
func extra(free []name.Point) []Mistake {
	var all []Mistake
	for i, p := range free {
		for _, q := range free[i+1:] {
			if p.Owner == q.Owner {
				m := mistake(ExtraCord, p, q)
				m.in = cords(patch.Cord{A: p, B: q})
				all = append(all, m)
			}
		}
	}
	return all
}
