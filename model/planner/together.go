package planner

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// addFellows finds the crosspoints of outputs that are switched together: where
// the first listens to an input, the second listens to the one after it. Those
// that lack a fellow can never be closed; their list begins with nowhere.
func (b *board) addFellows() {
	for _, m := range b.studio.Matrices {
		for _, group := range m.Stereo {
			for first := 2 - len(group); first <= m.Inputs; first++ {
				b.addTogether(m, group, first)
			}
		}
	}
}

func (b *board) addTogether(m studio.Matrix, group []name.Point, first int) {
	var together []int
	for k, out := range group {
		in, ok := b.number[m.In(first+k)]
		if !ok {
			continue
		}
		if x, ok := b.crossAt(b.outputOf[out], in); ok {
			together = append(together, x)
		}
	}
	slices.Sort(together)
	fellows := together
	if len(together) < len(group) {
		fellows = append([]int{nowhere}, together...)
	}
	for _, x := range together {
		b.fellows[x] = fellows
	}
}

// lame says whether a crosspoint lacks one of those that must be closed with it.
func (b *board) lame(x int) bool { return len(b.fellows[x]) > 0 && b.fellows[x][0] == nowhere }

// ganged says whether an output is switched together with others.
func (b *board) ganged(o int) bool {
	return slices.ContainsFunc(b.outputs[o].crosses, func(x int) bool { return len(b.fellows[x]) > 0 })
}

// parted says whether a draft has a crosspoint without its fellows.
func (b *board) parted(d draft) bool {
	return slices.ContainsFunc(d.crosses, func(x int) bool {
		return slices.ContainsFunc(b.fellows[x], func(y int) bool { return !slices.Contains(d.crosses, y) })
	})
}

// goesTo says whether the lead of a port can be plugged into a jack.
func (b *board) goesTo(port, j int) bool {
	at := b.hangs[port]
	return len(at) == 0 || slices.Contains(at, b.owner(j))
}

// robs says whether a lead in a port takes over an input that the session asks
// to hear something.
func (t *task) robs(port int) bool {
	p := t.points[t.ports[port]]
	for _, g := range t.studio.Gear {
		for _, s := range g.Steals {
			if at, ok := t.number[s.Rear]; ok && s.Front == p && len(t.asks[at].wants) > 0 {
				return true
			}
		}
	}
	return false
}

// hearAll makes every source one to reckon with where outputs are switched
// together: what the other output carries then is nothing that was asked for,
// and must not go astray.
func (t *task) hearAll() {
	if len(t.fellows) == 0 {
		return
	}
	t.wanted = nil
	for s := range t.sources {
		t.wanted = append(t.wanted, s)
	}
}
