package suspect

import (
	"math"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/reading"
)

// Switching is a crosspoint that is switched for a moment, to hear more: Output listens
// to Input instead of what it listens to.
type Switching struct {
	Output, Input name.Point
	// Left is at how many places the causes are on average once it was listened to.
	Left  float64
	scene *Scene
}

// mostSwitchings is how many crosspoints are tried.
const mostSwitchings = 512

// Switching is the crosspoint that leaves a finding's causes at the fewest places; false
// where none tells any apart. Only outputs that may be switched are tried. None is chosen that
// joins outputs, closes a loop, or comes to a line on which phantom power may be, nor one
// by which an output of the scene could come to an input that is spared, as told or by
// one mistake. It takes the time of hearing the room for each crosspoint and each cause.
func (c *Scene) Switching(f Finding, may func(output name.Point) bool, spared []name.Point) (best Switching, found bool) {
	causes := f.causes()
	causes = causes[:min(len(causes), mostCauses)]
	if f.Guess || len(causes) < 2 {
		return best, false
	}
	best.Left = math.Inf(1)
	tried := 0
	for _, m := range c.Room.Studio().Matrices {
		for o := 1; o <= m.Outputs; o++ {
			for i := 1; i <= m.Inputs && tried < mostSwitchings && may(m.Out(o)); i++ {
				if slices.Contains(c.Patch.Inputs(m.Out(o)), m.In(i)) || c.powered(m.Out(o)) {
					continue
				}
				tried++
				s := switched(c, m.Out(o), m.In(i))
				groups := grouped(causes, s.scene.pictures(causes, m.Out(o)))
				if len(groups) < 2 {
					continue
				}
				if s.Left = placesLeft(groups); s.Left < best.Left && mayBe(c, s, spared) {
					best, found = s, true
				}
			}
		}
	}
	return best, found
}

// causes are all mistakes that a finding may be, the likeliest first.
func (f Finding) causes() []Mistake { return append([]Mistake{f.Mistake}, f.OrElse...) }

// switched is the scene with a crosspoint switched.
func switched(c *Scene, output, input name.Point) Switching {
	with := c.Setup
	with.Patch = c.Patch.Clone()
	with.Patch.Crosspoints = slices.DeleteFunc(with.Patch.Crosspoints, func(x patch.Crosspoint) bool { return x.Output == output })
	with.Patch.Crosspoints = append(with.Patch.Crosspoints, patch.Crosspoint{Output: output, Input: input})
	with.Patch.Sort()
	return Switching{Output: output, Input: input, scene: New(with)}
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
// about the output, or about another room.
func (c *Scene) pictures(causes []Mistake, output name.Point) [][]Class {
	all := make([][]Class, len(causes))
	lost := map[patch.Cord][]int{}
	for n, m := range causes {
		if m.room != nil || slices.Contains(m.At, output) {
			continue
		}
		all[n] = c.predict(m, lost)
		for at, class := range all[n] {
			all[n][at] = c.readable(at, class)
		}
	}
	return all
}

// Patch is the patch with the crosspoint switched.
func (s Switching) Patch() patch.Patch { return s.scene.Patch }

// Narrow is a finding with those of its causes alone that give what was read while the
// crosspoint was switched, at every pair that the causes do not have alike. Where none
// does it stays as it is.
func (s Switching) Narrow(f Finding, paths [][]reading.Path) Finding {
	return s.scene.narrow(f, s.scene.pictures(f.causes(), s.Output), s.scene.Judge(paths))
}
