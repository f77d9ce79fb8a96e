package suspect

import (
	"slices"

	"bayhand/model/patch"
)

// difference is a pair that is read otherwise than told.
type difference struct {
	at    int
	class Class
}

// suspicion is a mistake with what it would change.
type suspicion struct {
	Mistake
	changes []difference
}

// suspicions are all single mistakes with what each would change. It takes time
// linear in their number, in the inputs and in the nets that each touches.
func (c *Scene) suspicions() []suspicion {
	if c.made == nil {
		lost := map[patch.Cord][]int{}
		for _, m := range c.single() {
			c.made = append(c.made, suspicion{m, c.differences(c.predict(m, lost))})
		}
	}
	return c.made
}

// predict is the picture with one mistake. lost remembers what each cord alone
// carries.
func (c *Scene) predict(m Mistake, lost map[patch.Cord][]int) []Class {
	switch {
	case m.room != nil:
		return c.picture(m.room.Hear(c.Patch))
	case m.cord == (patch.Cord{}):
		return c.with(m.out, m.in)
	}
	alone, known := lost[m.cord]
	if !known {
		alone = c.alone(c.base, m.cord)
		lost[m.cord] = alone
	}
	made := slices.Clone(c.base)
	overlay(c, made, alone, m)
	return made
}

// with is the picture after a change, which is taken back.
func (c *Scene) with(out, in patch.Patch) []Class {
	c.live.Change(out, in)
	made := c.picture(c.live)
	c.live.Change(in, out)
	return made
}

// alone are the pairs that a cord alone carries: those not heard if nothing goes
// through it.
func (c *Scene) alone(now []Class, cord patch.Cord) []int {
	var lost []int
	for at, class := range c.with(cords(cord), loose(cord)) {
		if class == Absent && now[at] != Absent {
			lost = append(lost, at)
		}
	}
	return lost
}

// overlay puts a fault of a cord over the pairs that it alone carries, and over
// those that share a net of which it grounds the cold leg: a two-pole cord that of
// all it joins, a plug half in that at the other end.
func overlay(c *Scene, made []Class, alone []int, m Mistake) {
	net := m.cord.A
	if !m.half.IsZero() {
		// The net at the other end, without what the plug would join to it.
		if m.half == net {
			net = m.cord.B
		}
		c.live.Change(cords(m.cord), loose(m.cord))
		defer c.live.Change(loose(m.cord), cords(m.cord))
	}
	for at := range made {
		if !c.judged[at] || c.base[at] != Present {
			continue
		}
		out, in := c.Outputs[at%len(c.Outputs)], c.Inputs[at/len(c.Outputs)]
		if slices.Contains(alone, at) {
			made[at] = over(made[at], m.carries(c.ports[out].Line))
		} else if m.grounds(c.ports[out].Line) && (c.live.Joined(net, out) || c.live.Joined(net, in)) {
			made[at] = over(made[at], Low)
		}
	}
}

// over is a class through a further fault of its kind.
func over(was, next Class) Class {
	reversed := (was == Reversed || was == ReversedLow) != (next == Reversed || next == ReversedLow)
	low := was == Low || was == ReversedLow || next == Low || next == ReversedLow
	switch {
	case next == Absent || was == Absent:
		return Absent
	case was != Present && was != Low && was != Reversed && was != ReversedLow:
		return was
	case reversed && low:
		return ReversedLow
	case reversed:
		return Reversed
	case low:
		return Low
	}
	return Present
}

// differences are where a picture is otherwise than told.
func (c *Scene) differences(made []Class) []difference {
	var found []difference
	for at, class := range made {
		class = c.readable(at, class)
		if !fits(c.base[at], class) && class != Perhaps {
			found = append(found, difference{at, class})
		}
	}
	return found
}

// readable is what can be read of a class: where no level is judged, only whether
// the output is heard.
func (c *Scene) readable(at int, class Class) Class {
	if class != Absent && class != Perhaps && !c.judged[at] {
		return Present
	}
	return class
}

// combined is the picture with several mistakes at once; false where they cannot
// be: two of them touch one cord, or one room.
func (c *Scene) combined(all []Mistake) ([]Class, bool) {
	var out, in patch.Patch
	for _, m := range all {
		if m.room != nil || !disjoint(out, m.out) || !disjoint(in, m.in) {
			return nil, false
		}
		out, in = both(out, m.out), both(in, m.in)
	}
	c.live.Change(out, in)
	made := c.picture(c.live)
	for _, m := range all {
		if m.cord != (patch.Cord{}) {
			if slices.ContainsFunc(out.Cords, m.cord.Same) {
				c.live.Change(in, out)
				return nil, false
			}
			overlay(c, made, c.alone(made, m.cord), m)
		}
	}
	c.live.Change(in, out)
	return made, true
}

// disjoint says whether no jack, dummy or output is in both.
func disjoint(p, q patch.Patch) bool {
	for _, a := range p.Plugs() {
		if slices.Contains(q.Plugs(), a) {
			return false
		}
	}
	for _, a := range p.Crosspoints {
		if slices.ContainsFunc(q.Crosspoints, func(b patch.Crosspoint) bool { return a.Output == b.Output }) {
			return false
		}
	}
	return true
}

func both(p, q patch.Patch) patch.Patch {
	p = p.Clone()
	p.Cords = append(p.Cords, q.Cords...)
	p.Dummies = append(p.Dummies, q.Dummies...)
	p.Crosspoints = append(p.Crosspoints, q.Crosspoints...)
	return p
}
