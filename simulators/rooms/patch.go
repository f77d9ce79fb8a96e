package rooms

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// patch draws up to that many cords, and some of everything else.
func (d *drawer) patch(most int) patch.Patch {
	free := slices.Clone(d.every)
	var p patch.Patch
	for range d.upTo(most) {
		d.cord(&p, &free)
	}
	for d.often(25) {
		if jack, ok := d.take(&free); ok {
			p.Dummies = append(p.Dummies, jack)
		}
	}
	d.leads(&p, &free)
	for _, m := range d.studio.Matrices {
		d.crosspoints(&p, m)
	}
	p.Sort()
	return p
}

// cord draws a cord, mostly from a top jack to a bottom one; one in eight hangs
// loose.
func (d *drawer) cord(p *patch.Patch, free *[]name.Point) {
	a, ok := d.takeOf(d.side(studio.Top), free)
	if !ok {
		return
	}
	c := patch.Cord{A: a}
	if !d.often(12) {
		c.B, _ = d.takeOf(d.side(studio.Bottom), free)
	}
	c.Poles = d.poles(c)
	p.Cords = append(p.Cords, c)
}

// poles are two on some cords, where the sleeves are grounded: a short to a
// sleeve that floats would join nets by their cold legs.
func (d *drawer) poles(c patch.Cord) int {
	for _, end := range c.Ends() {
		if !slices.Contains(d.shielded, end) {
			return 0
		}
	}
	return []int{0, 0, 2, 3}[d.r.IntN(4)]
}

// leads draws leads from gear that is not wired, to sockets of boxes and to
// jacks.
func (d *drawer) leads(p *patch.Patch, free *[]name.Point) {
	sockets := slices.Clone(d.sockets)
	for _, ports := range [][]name.Point{d.outputs, d.inputs, d.fronts} {
		for _, port := range ports {
			if d.ofMatrix(port) || !d.often(40) {
				continue
			}
			if end, ok := d.leadsTo(free, &sockets); ok {
				p.Leads = append(p.Leads, patch.Lead{Port: port, Jack: end})
			}
		}
	}
}

func (d *drawer) leadsTo(free, sockets *[]name.Point) (name.Point, bool) {
	if len(*sockets) > 0 && d.often(60) {
		return d.take(sockets)
	}
	return d.take(free)
}

func (d *drawer) ofMatrix(p name.Point) bool {
	return slices.ContainsFunc(d.studio.Matrices, func(m studio.Matrix) bool { return m.Name == p.Owner })
}

// crosspoints draws one input for some outputs; of relays, now and then two.
func (d *drawer) crosspoints(p *patch.Patch, m studio.Matrix) {
	for n := 1; n <= m.Outputs; n++ {
		if follows(m, m.Out(n)) || !d.often(70) {
			continue
		}
		first := 1 + d.r.IntN(m.Inputs)
		p.Crosspoints = append(p.Crosspoints, gangOf(m, n, first)...)
		if m.Kind != studio.Contacts || !d.often(20) {
			continue
		}
		if second := 1 + d.r.IntN(m.Inputs); second != first {
			p.Crosspoints = append(p.Crosspoints, gangOf(m, n, second)...)
		}
	}
}
