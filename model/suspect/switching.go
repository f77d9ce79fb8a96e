package suspect

import (
	"math"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
	"bayhand/model/studio"
)

// Switching is what a matrix switches for a moment, to hear more: an output listens to an
// input instead of what it listens to, and with it all outputs that are switched together.
type Switching struct {
	// Closed are the crosspoints, one of each output, in the order of the outputs.
	Closed []patch.Crosspoint
	// Left is at how many places the causes are on average once it was listened to.
	Left  float64
	scene *Scene
}

// mostSwitchings is how many are tried.
const mostSwitchings = 512

// Switching is the one that leaves a finding's causes at the fewest places; false
// where none tells any apart. Only outputs that may be switched are tried, those that are
// switched together only if each may. None is chosen that
// joins outputs, closes a loop, or comes to a line on which phantom power may be, nor one
// by which an output of the scene could come to an input that is spared, as told or by
// one mistake. It takes the time of hearing the room for each that is tried and each cause.
func (c *Scene) Switching(f Finding, may func(output name.Point) bool, spared []name.Point) (best Switching, found bool) {
	causes := f.causes()
	causes = causes[:min(len(causes), mostCauses)]
	if f.Guess || len(causes) < 2 {
		return best, false
	}
	best.Left = math.Inf(1)
	for _, closed := range switchings(c, may) {
		s := switched(c, closed)
		groups := grouped(causes, s.scene.pictures(causes, closed))
		if len(groups) < 2 {
			continue
		}
		if s.Left = placesLeft(groups); s.Left < best.Left && mayBe(c, s, spared) {
			best, found = s, true
		}
	}
	return best, found
}

// switchings are the crosspoints that a matrix could close with one change, without those
// that are closed already.
func switchings(c *Scene, may func(output name.Point) bool) (all [][]patch.Crosspoint) {
	for _, m := range c.Room.Studio().Matrices {
		for o := 1; o <= m.Outputs; o++ {
			together := c.Room.Studio().Gang(m.Out(o))
			if together[0] != m.Out(o) || slices.ContainsFunc(together, func(out name.Point) bool { return !may(out) || c.powered(out) }) {
				continue
			}
			for i := 1; i+len(together)-1 <= m.Inputs && len(all) < mostSwitchings; i++ {
				var closed []patch.Crosspoint
				for k, out := range together {
					closed = append(closed, patch.Crosspoint{Output: out, Input: m.In(i + k)})
				}
				if couldClose(c, m, closed) {
					all = append(all, closed)
				}
			}
		}
	}
	return all
}

// couldClose says whether a matrix has crosspoints, of which one at least is open.
func couldClose(c *Scene, m studio.Matrix, closed []patch.Crosspoint) bool {
	opened := false
	for _, x := range closed {
		if slices.Contains(m.Missing, studio.Absent{Output: x.Output, Input: x.Input}) {
			return false
		}
		opened = opened || !slices.Contains(c.Patch.Inputs(x.Output), x.Input)
	}
	return opened
}

// causes are all mistakes that a finding may be, the likeliest first.
func (f Finding) causes() []Mistake { return append([]Mistake{f.Mistake}, f.OrElse...) }

// switched is the scene with crosspoints switched.
func switched(c *Scene, closed []patch.Crosspoint) Switching {
	with := c.Setup
	with.Patch = c.Patch.Clone()
	with.Patch.Crosspoints = slices.DeleteFunc(with.Patch.Crosspoints, func(x patch.Crosspoint) bool { return touches(closed, x.Output) })
	with.Patch.Crosspoints = append(with.Patch.Crosspoints, closed...)
	with.Patch.Sort()
	return Switching{Closed: closed, scene: New(with)}
}

// touches says whether an output is one of those of crosspoints.
func touches(all []patch.Crosspoint, output name.Point) bool {
	return slices.ContainsFunc(all, func(x patch.Crosspoint) bool { return x.Output == output })
}

// mayBe says whether nothing comes of a switching but what is to be heard.
func mayBe(c *Scene, s Switching, spared []name.Point) bool {
	now := s.scene
	if now.live.Contended() || len(now.live.Loops(now.perhaps, nil)) > len(c.live.Loops(c.perhaps, nil)) {
		return false
	}
	if len(spared) == 0 {
		return true
	}
	to := now.Setup
	to.Inputs, to.Reference = spared, nil
	return len(New(to).Reaches()) == 0
}

// pictures are those that causes give, as far as they can be read; nil for one that is
// about an output that is switched, or about another room.
func (c *Scene) pictures(causes []Mistake, closed []patch.Crosspoint) [][]Class {
	all := make([][]Class, len(causes))
	lost := map[patch.Cord][]int{}
	for n, m := range causes {
		if m.room != nil || slices.ContainsFunc(m.At, func(p name.Point) bool { return touches(closed, p) }) {
			continue
		}
		all[n] = c.predict(m, lost)
		for at, class := range all[n] {
			all[n][at] = c.readable(at, class)
		}
	}
	return all
}

// Patch is the patch with it switched.
func (s Switching) Patch() patch.Patch { return s.scene.Patch }

// Narrow is a finding with those of its causes alone that give what was read while it
// was switched, at every pair that the causes do not have alike. Where none
// does it stays as it is.
func (s Switching) Narrow(f Finding, paths [][]reading.Path) Finding {
	return s.scene.narrow(f, s.scene.pictures(f.causes(), s.Closed), s.scene.Judge(paths))
}
