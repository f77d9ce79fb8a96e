package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// through says where gear leads: what it always passes, what it can pass, and
// what the software carries.
type through struct {
	gear    map[string]*studio.Gear
	insides []map[name.Point][]name.Point
	// meant are the ports through which a loop may go.
	meant []name.Point
}

func newThrough(a *arranger) *through {
	t := &through{gear: map[string]*studio.Gear{}, meant: a.session.Loops}
	all := a.room.Studio().Gear
	for i := range all {
		t.gear[all[i].Name] = &all[i]
	}
	for _, inside := range a.insides {
		carried := map[name.Point][]name.Point{}
		for _, p := range inside {
			carried[p.In] = append(carried[p.In], p.Out)
		}
		t.insides = append(t.insides, carried)
	}
	return t
}

// passed are the outputs that gear always passes an input to.
func (t *through) passed(in name.Point) []name.Point { return t.of(in, false) }

func (t *through) of(in name.Point, could bool) []name.Point {
	g := t.gear[in.Owner]
	if g == nil {
		return nil
	}
	var outs []name.Point
	passes := [][]studio.Pass{g.Passes}
	if could {
		passes = append(passes, g.CanPass)
	}
	for _, list := range passes {
		for _, p := range list {
			if p.In == in {
				outs = append(outs, p.Out)
			}
		}
	}
	return outs
}

// carried are the outputs that an input comes out of under one of what the
// software carries, without gear that a loop may go through.
func (t *through) carried(in name.Point, inside int) []name.Point {
	if slices.Contains(t.meant, in) {
		return nil
	}
	outs := append(t.passed(in), t.insides[inside][in]...)
	return slices.DeleteFunc(outs, func(p name.Point) bool { return slices.Contains(t.meant, p) })
}

// could are all outputs that an input may come out of: nobody but the person at
// the desk knows how its faders stand.
func (t *through) could(in name.Point) []name.Point {
	outs := t.of(in, true)
	for i := range t.insides {
		outs = append(outs, t.insides[i][in]...)
	}
	return outs
}

// leadsTo are the inputs of gear that may hear a point, straight or through
// gear.
func (t *through) leadsTo(n *now, at name.Point) map[name.Point]bool {
	found := map[name.Point]bool{}
	for queue := []name.Point{at}; len(queue) > 0; queue = queue[1:] {
		for _, in := range n.Reaches(queue[0]) {
			if !found[in] {
				found[in] = true
				queue = append(queue, t.could(in)...)
			}
		}
	}
	return found
}

// onward are the outputs of amplifiers that listen to a point.
func (n *now) onward(p name.Point, meant []name.Point) []name.Point {
	outs := n.listening[p]
	if len(outs) == 0 || len(meant) == 0 {
		return outs
	}
	if slices.Contains(meant, p) {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(outs), func(q name.Point) bool { return slices.Contains(meant, q) })
}
