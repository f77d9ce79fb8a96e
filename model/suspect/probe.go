package suspect

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// Probe is a listening plug: a cord that is put in only to hear more. It joins a free
// jack at which a signal is to be listened to, and one that leads to an input of the
// device: one that hears nothing, or whose own signal is done without for the moment.
type Probe struct {
	At, Into name.Point
	// Groups is how many of the causes it tells apart.
	Groups int
}

// Limits of the search: causes that are told apart, and jacks that are tried.
const (
	mostCauses = 12
	mostProbes = 160
)

// Probe is the listening plug that tells the most of a finding's causes apart; false
// where none does. It takes nothing from other inputs, and touches no line on which
// phantom power may be. Top jacks come first: at a half-normal they only tap. It takes
// the time of hearing the room for each jack that is tried and each cause.
func (c *Scene) Probe(f Finding) (best Probe, found bool) {
	causes := append([]Mistake{f.Mistake}, f.OrElse...)
	causes = causes[:min(len(causes), mostCauses)]
	into, input, any := c.freeInput(f)
	if f.Guess || len(causes) < 2 || !any {
		return best, false
	}
	best.Groups = 1
	for _, at := range c.probed(causes, into) {
		if groups := c.apart(patch.Cord{A: at, B: into}, input, causes); groups > best.Groups {
			best, found = Probe{At: at, Into: into, Groups: groups}, true
		}
	}
	return best, found
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
		case i < 0 || about || !c.silentWith(p, i):
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
func (c *Scene) silentWith(jack name.Point, input int) bool {
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

// apart is into how many groups a plug parts causes by what is read; none where it
// takes away, or lowers, what other inputs hear without it.
func (c *Scene) apart(plug patch.Cord, input int, causes []Mistake) int {
	with := c.Setup
	with.Patch = c.Patch.Clone()
	with.Patch.Cords = append(with.Patch.Cords, plug)
	probed := New(with)
	for at, class := range c.base {
		if at/len(c.Outputs) != input && class != Absent && probed.base[at] != class {
			return 0
		}
	}
	var groups [][]Class
	for _, m := range causes {
		if m.room != nil || slices.Contains(m.At, plug.A) || slices.Contains(m.At, plug.B) {
			return 0
		}
		made := probed.predict(m, map[patch.Cord][]int{})
		if !slices.ContainsFunc(groups, func(g []Class) bool { return slices.Equal(g, made) }) {
			groups = append(groups, made)
		}
	}
	return len(groups)
}
