package suspect

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// accused are the cords of the patch that causes are about.
func (c *Scene) accused(causes []Mistake) []patch.Cord {
	return slices.DeleteFunc(slices.Clone(c.Patch.Cords), func(cord patch.Cord) bool {
		return cord.B.IsZero() || !slices.ContainsFunc(causes, func(m Mistake) bool { return m.Concerns(cord) })
	})
}

// freeInput is a free jack that leads to one input of the scene alone: one that hears
// nothing if there is any, else one that hears what no cause is about.
func (c *Scene) freeInput(f Finding) (jack name.Point, input int, any bool) {
	for _, p := range c.free() {
		onward := c.live.Onward(p, nil)
		if len(onward) != 1 {
			continue
		}
		i := slices.Index(c.Inputs, onward[0])
		about := slices.ContainsFunc(f.Pairs, func(h Heard) bool { return h.Input == onward[0] })
		switch {
		case i < 0 || about || !silentWith(c, p, i):
		case c.hearsNothing(i):
			return p, i, true
		case !any:
			jack, input, any = p, i, true
		}
	}
	return jack, input, any
}

func (c *Scene) hearsNothing(input int) bool { return c.silentIn(c.base, input) }

// silentWith says whether an input hears nothing while a plug is in a jack: what it
// hears otherwise comes by a normal that the plug breaks.
func silentWith(c *Scene, jack name.Point, input int) bool {
	return c.silentIn(c.with(patch.Patch{}, patch.Patch{Dummies: []name.Point{jack}}), input)
}

func (c *Scene) silentIn(picture []Class, input int) bool {
	for o := range c.Outputs {
		if picture[c.at(o, input)] != Absent {
			return false
		}
	}
	return true
}

// probed are the jacks that are tried: those of the causes' own pairs first, and of
// the rest the top ones before the bottom ones.
func (c *Scene) probed(causes []Mistake, into name.Point) []name.Point {
	free := slices.DeleteFunc(c.free(), func(p name.Point) bool { return p.Owner != into.Owner || p == into || c.powered(p) })
	near := func(p name.Point) bool {
		return slices.ContainsFunc(causes, func(m Mistake) bool {
			return slices.ContainsFunc(m.At, func(q name.Point) bool { return q.Owner == p.Owner && q.Number == p.Number })
		})
	}
	rank := func(p name.Point) int {
		switch {
		case near(p):
			return 0
		case p.Stem == "t":
			return 1
		}
		return 2
	}
	slices.SortStableFunc(free, func(p, q name.Point) int { return rank(p) - rank(q) })
	return free[:min(len(free), mostProbes)]
}

// powered says whether a jack leads to an input that may carry phantom power.
func (c *Scene) powered(jack name.Point) bool {
	return slices.ContainsFunc(c.live.Onward(jack, nil), func(p name.Point) bool { return c.ports[p].Line.Phantom })
}
