package suspect

import (
	"math"
	"slices"

	"bayhand/model/name"
	"bayhand/model/reading"
	"bayhand/model/studio"
)

// Limits of what delays tell: two within asLate samples are one delay, and a way through
// more than mostOnWay pieces of gear is not followed.
const (
	asLate    = 1.5
	mostOnWay = 6
)

// Narrow leaves out the causes of a finding that the reference rules out. Each cause says
// through which gear a path would come, the reference how late that gear is, and the
// reading how late the path is: so effects that were exchanged are told from outputs that
// were. A cause is ruled out only where another one gives the delay that was read. It
// takes time linear in the causes.
func (c *Scene) Narrow(f Finding, paths [][]reading.Path) Finding {
	causes := f.causes()
	late, any := c.lateness(paths)
	if !any || f.Guess || len(causes) < 2 {
		return f
	}
	var kept []Mistake
	confirmed := false
	for _, m := range causes {
		right, wrong := late.of(m, f.Pairs, paths)
		if wrong == 0 {
			kept = append(kept, m)
			confirmed = confirmed || right > 0
		}
	}
	if !confirmed || len(kept) == len(causes) {
		return f
	}
	f.Mistake, f.OrElse, f.RuledOut = kept[0], kept[1:], len(causes)-len(kept)
	return f
}

// lateness is how late paths should be, in samples of this reading.
type lateness struct {
	scene *Scene
	// direct is the delay of what comes through no gear, and gear what each pass adds.
	direct float64
	gear   map[studio.Pass]float64
	passes []studio.Pass
}

// lateness takes it from the reference; false where the reference has no path through
// metal alone, or nothing of it is heard now to compare the beginnings by.
func (c *Scene) lateness(paths [][]reading.Path) (lateness, bool) {
	l := lateness{scene: c, gear: map[studio.Pass]float64{}, passes: c.passes()}
	var direct, begins []float64
	single := map[studio.Pass][]float64{}
	for i, in := range c.Inputs {
		for o, out := range c.Outputs {
			r, known := c.Reference[Pair{out, in}]
			way, one := l.way(out, in)
			if !known || !r.Found || r.Smeared || !one {
				continue
			}
			switch len(way) {
			case 0:
				direct = append(direct, r.Delay)
			case 1:
				single[way[0]] = append(single[way[0]], r.Delay)
			}
			if p := paths[i][o]; p.Found && !p.Smeared {
				begins = append(begins, p.Delay-r.Delay)
			}
		}
	}
	if len(direct) == 0 || len(begins) == 0 {
		return l, false
	}
	l.direct = median(direct) + median(begins)
	for pass, all := range single {
		l.gear[pass] = median(all) - median(direct)
	}
	return l, true
}

func median(values []float64) float64 {
	slices.Sort(values)
	return values[len(values)/2]
}

// of counts the pairs that are as late as a mistake makes them, and those that are not;
// what is not known counts as neither.
func (l lateness) of(m Mistake, pairs []Heard, paths [][]reading.Path) (right, wrong int) {
	c := l.scene
	if m.room != nil {
		return 0, 0
	}
	c.live.Change(m.out, m.in)
	defer c.live.Change(m.in, m.out)
	for _, h := range pairs {
		p := paths[slices.Index(c.Inputs, h.Input)][slices.Index(c.Outputs, h.Output)]
		way, one := l.way(h.Output, h.Input)
		want, known := l.along(way)
		switch {
		case h.Is == Absent || !p.Found || p.Smeared || !one || !known:
		case math.Abs(p.Delay-want) <= asLate:
			right++
		default:
			wrong++
		}
	}
	return right, wrong
}

// along is how late a way makes a path.
func (l lateness) along(way []studio.Pass) (late float64, known bool) {
	late = l.direct
	for _, pass := range way {
		more, is := l.gear[pass]
		if !is {
			return 0, false
		}
		late += more
	}
	return late, true
}

// way is the gear through which an output comes to an input, from the input's end; false
// where it does not, or by several ways.
func (l lateness) way(output, input name.Point) (way []studio.Pass, one bool) {
	count := 0
	var back func(at name.Point, through []studio.Pass)
	back = func(at name.Point, through []studio.Pass) {
		for _, source := range l.scene.live.Hears(at) {
			if source == output {
				count++
				way = slices.Clone(through)
			}
			for _, pass := range l.passes {
				if pass.Out == source && !slices.Contains(through, pass) && len(through) < mostOnWay {
					back(pass.In, append(through, pass))
				}
			}
		}
	}
	back(input, nil)
	return way, count == 1
}

// passes are those of the gear of a room, but for the device's own, and what desks and
// software carry.
func (c *Scene) passes() []studio.Pass {
	all := slices.Clone(c.sure)
	for _, g := range c.Room.Studio().Gear {
		if g.Sound == nil {
			all = append(all, g.Passes...)
		}
	}
	return all
}
