package order

import (
	"slices"

	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"

	"bayhand/model/name"
)

// paths lead from zone to zone, by what a point leads to.
type paths struct {
	zones *zones
	ahead func(name.Point) []name.Point
	found map[name.Point]map[name.Point]bool
}

func newPaths(z *zones, ahead func(name.Point) []name.Point) *paths {
	return &paths{z, ahead, map[name.Point]map[name.Point]bool{}}
}

// next are the zones that a path leads to from one without another between.
func (p *paths) next(zone name.Point) []name.Point {
	var all []name.Point
	for _, at := range p.zones.points(zone) {
		for _, out := range p.ahead(at) {
			if to := p.zones.at(out); !slices.Contains(all, to) {
				all = append(all, to)
			}
		}
	}
	return all
}

// from are the zones that paths lead to from one, itself among them.
func (p *paths) from(zone name.Point) map[name.Point]bool {
	if known, ok := p.found[zone]; ok {
		return known
	}
	reached := map[name.Point]bool{zone: true}
	for queue := []name.Point{zone}; len(queue) > 0; queue = queue[1:] {
		for _, next := range p.next(queue[0]) {
			if !reached[next] {
				reached[next] = true
				queue = append(queue, next)
			}
		}
	}
	p.found[zone] = reached
	return reached
}

// lead says whether paths lead from one of some zones to one of others.
func (p *paths) lead(from, to []name.Point) bool {
	return slices.ContainsFunc(from, func(f name.Point) bool {
		reached := p.from(f)
		return slices.ContainsFunc(to, func(t name.Point) bool { return reached[t] })
	})
}

// cycles are the strongly connected components of the zones that paths lead to from
// some: a signal goes round within one component only (Tarjan 1972).
type cycles struct {
	component map[name.Point]int
	// more says which components have more than one zone, or a zone that leads to
	// itself.
	more map[int]bool
}

// newCycles looks at the zones that paths lead to from some: no other is ever asked
// for.
func newCycles(p *paths, from []name.Point) *cycles {
	c := &cycles{component: map[name.Point]int{}, more: map[int]bool{}}
	g := simple.NewDirectedGraph()
	var all []name.Point
	number := map[name.Point]int64{}
	meet := func(zone name.Point) int64 {
		n, known := number[zone]
		if !known {
			n = int64(len(all))
			number[zone], all = n, append(all, zone)
			g.AddNode(simple.Node(n))
		}
		return n
	}
	for _, zone := range from {
		meet(zone)
	}
	toItself := map[name.Point]bool{}
	for i := 0; i < len(all); i++ {
		for _, next := range p.next(all[i]) {
			if next == all[i] {
				toItself[next] = true // the library's graph has no such edge
				continue
			}
			g.SetEdge(simple.Edge{F: simple.Node(i), T: simple.Node(meet(next))})
		}
	}
	for i, component := range topo.TarjanSCC(g) {
		c.more[i] = len(component) > 1
		for _, n := range component {
			zone := all[n.ID()]
			c.component[zone] = i
			c.more[i] = c.more[i] || toItself[zone]
		}
	}
	return c
}

// cyclic says whether anything may go round through a zone.
func (c *cycles) cyclic(zone name.Point) bool {
	at, ok := c.component[zone]
	return ok && c.more[at]
}

// ring is a number of the ring that a zone is in, from 1 on; noRing for none.
func (c *cycles) ring(zone name.Point) int {
	if !c.cyclic(zone) {
		return noRing
	}
	return c.component[zone] + 1
}

// same says whether two zones are of one component.
func (c *cycles) same(p, q name.Point) bool {
	at, ok := c.component[p]
	other, also := c.component[q]
	return p == q || ok && also && at == other
}

// shared says whether one of some zones is of one component with one of others.
func (c *cycles) shared(some, others []name.Point) bool {
	return slices.ContainsFunc(some, func(p name.Point) bool {
		return slices.ContainsFunc(others, func(q name.Point) bool { return c.same(p, q) })
	})
}
