package rooms

import (
	"math/rand/v2"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Change is one thing that is done in a room: what is taken out, what is put in,
// and the patch after it.
type Change struct {
	Out, In, After patch.Patch
}

// Changes draws what is done in a room, one change after the other. It draws
// fewer where nothing that it tries can be done.
func (r Room) Changes(count int, seed uint64) []Change {
	d := &drawer{r: rand.New(rand.NewPCG(seed, 0x6368616e6765)), studio: r.Whole(), every: jacks(r.Studio)}
	d.unwired()
	now := r.Patch
	var all []Change
	for range count {
		c := d.change(now)
		c.After = after(now, c)
		now = c.After
		if len(c.Out.Plugs())+len(c.In.Plugs())+len(c.Out.Crosspoints)+len(c.In.Crosspoints) > 0 {
			all = append(all, c)
		}
	}
	return all
}

// unwired finds the ports that a lead can come from.
func (d *drawer) unwired() {
	for _, w := range d.studio.Wires {
		d.shielded = append(d.shielded, w.From, w.To)
	}
	for _, g := range d.studio.Gear {
		for _, p := range g.Ports {
			if !slices.Contains(d.shielded, p.Point) {
				d.outputs = append(d.outputs, p.Point)
			}
		}
	}
}

// change draws one thing to do; it may draw nothing.
func (d *drawer) change(now patch.Patch) Change {
	var c Change
	switch free := d.free(d.every, now); d.r.IntN(10) {
	case 0, 1:
		d.cord(&c.In, &free)
	case 2, 3:
		c.Out.Cords = d.oneCord(now)
	case 4:
		d.moved(&c, now, &free)
	case 5:
		if jack, ok := d.take(&free); ok {
			c.In.Dummies = append(c.In.Dummies, jack)
		}
	case 6:
		if len(now.Dummies) > 0 {
			c.Out.Dummies = []name.Point{now.Dummies[d.r.IntN(len(now.Dummies))]}
		}
	case 7:
		d.lead(&c, now, &free)
	default:
		d.switched(&c, now)
	}
	return c
}

// free are those of some jacks that have no plug.
func (d *drawer) free(of []name.Point, now patch.Patch) []name.Point {
	plugs := now.Plugs()
	return slices.DeleteFunc(slices.Clone(of), func(p name.Point) bool { return slices.Contains(plugs, p) })
}

// oneCord is one that is plugged, told from either end.
func (d *drawer) oneCord(now patch.Patch) []patch.Cord {
	if len(now.Cords) == 0 {
		return nil
	}
	c := now.Cords[d.r.IntN(len(now.Cords))]
	if d.often(50) && !c.B.IsZero() {
		c.A, c.B = c.B, c.A
	}
	return []patch.Cord{c}
}

// moved leaves one end of a cord where it is; the other goes to a free jack, or
// hangs.
func (d *drawer) moved(c *Change, now patch.Patch, free *[]name.Point) {
	c.Out.Cords = d.oneCord(now)
	for _, cord := range c.Out.Cords {
		cord.B, cord.Poles = name.Point{}, 0
		if d.often(75) {
			cord.B, _ = d.take(free)
		}
		c.In.Cords = []patch.Cord{cord}
	}
}

// lead pulls a lead if there is one, or plugs one from a port that has none.
func (d *drawer) lead(c *Change, now patch.Patch, free *[]name.Point) {
	if len(now.Leads) > 0 && d.often(50) {
		c.Out.Leads = []patch.Lead{now.Leads[d.r.IntN(len(now.Leads))]}
		return
	}
	ports := slices.DeleteFunc(slices.Clone(d.outputs), func(p name.Point) bool {
		return slices.ContainsFunc(now.Leads, func(l patch.Lead) bool { return l.Port == p })
	})
	port, okPort := d.take(&ports)
	sockets := d.free(sockets(d.studio), now)
	jack, okJack := d.leadsTo(free, &sockets)
	if okPort && okJack {
		c.In.Leads = []patch.Lead{{Port: port, Jack: jack}}
	}
}

// switched opens a crosspoint, or closes one. The output of an amplifier leaves
// the input that it had.
func (d *drawer) switched(c *Change, now patch.Patch) {
	if len(now.Crosspoints) > 0 && d.often(30) {
		c.Out.Crosspoints = Room{Studio: d.studio}.GangOf(now.Crosspoints[d.r.IntN(len(now.Crosspoints))])
		return
	}
	if len(d.studio.Matrices) == 0 {
		return
	}
	m := d.studio.Matrices[d.r.IntN(len(d.studio.Matrices))]
	output, input := 1+d.r.IntN(m.Outputs), 1+d.r.IntN(m.Inputs)
	closed := gangOf(m, output, input)
	if len(closed) == 0 || slices.Contains(now.Crosspoints, closed[0]) {
		return
	}
	c.In.Crosspoints = closed
	if m.Kind == studio.Contacts {
		return
	}
	for _, x := range closed {
		for _, in := range now.Inputs(x.Output) {
			c.Out.Crosspoints = append(c.Out.Crosspoints, patch.Crosspoint{Output: x.Output, Input: in})
		}
	}
}

// after is a patch with a change made.
func after(now patch.Patch, c Change) patch.Patch {
	p := now.Clone()
	p.Cords = slices.DeleteFunc(p.Cords, func(k patch.Cord) bool { return slices.ContainsFunc(c.Out.Cords, k.Same) })
	p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool { return slices.Contains(c.Out.Leads, l) })
	p.Dummies = slices.DeleteFunc(p.Dummies, func(j name.Point) bool { return slices.Contains(c.Out.Dummies, j) })
	p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(k patch.Crosspoint) bool { return slices.Contains(c.Out.Crosspoints, k) })
	p.Cords = append(p.Cords, c.In.Cords...)
	p.Leads = append(p.Leads, c.In.Leads...)
	p.Dummies = append(p.Dummies, c.In.Dummies...)
	p.Crosspoints = append(p.Crosspoints, c.In.Crosspoints...)
	p.Sort()
	return p
}
