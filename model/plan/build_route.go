package plan

import (
	"container/heap"
	"slices"

	"bayhand/model/name"
)

// hop is one thing that the builder puts in to bring a signal from one node to
// another; a normal that holds is a hop that costs nothing.
type hop struct {
	part
	to     int // node
	before *hop
	cost   int
	// along is the normal that a hop goes along, and needs to hold; -1 for none.
	along int
}

// What a hop costs. A crosspoint is switched by itself; the fewer the better all
// the same.
const (
	cordCost  = 2000
	leadCost  = 1000
	crossCost = 10
	// leaveCost is for a plug that taps, so that another jack is taken if there is
	// one.
	leaveCost = 300
)

// detours bounds the ways that are tried for one want.
const detours = 24

// route brings a source to a destination by the cheapest way that leaves less
// wrong than before; where the source has no jack left, by way of a mult.
func (b *builder) route(source, destination name.Point) bool {
	s, ok := b.sourceOf[source]
	if !ok || !b.has(destination) {
		return false
	}
	to := b.node[b.number[destination]]
	barred := map[part]bool{}
	for range detours {
		last := b.cheapest(s, to, barred)
		if last == nil {
			break
		}
		if b.putIn(last, source, destination) {
			return true
		}
		bar(last, barred)
	}
	return b.fanOut(source, destination)
}

// bar keeps the last thing of a way that was put in from being tried again.
func bar(last *hop, barred map[part]bool) {
	for h := last; h != nil; h = h.before {
		if h.kind != 0 {
			barred[h.part] = true
			return
		}
	}
}

// putIn puts a way in, if the source is heard then and less is wrong.
func (b *builder) putIn(last *hop, source, destination name.Point) bool {
	d := b.d.clone()
	var fresh []part
	for h := last; h != nil; h = h.before {
		switch h.kind {
		case cordPart:
			d.cords = append(d.cords, [2]int{h.a, h.b})
		case leadPart:
			d.leads = append(d.leads, [2]int{h.a, h.b})
		case crossPart:
			d.crosses = b.close(d.crosses, h.a)
		case dummyPart:
		default:
			continue
		}
		fresh = append(fresh, h.part)
	}
	return b.takeOver(d, fresh, source, destination)
}

// takeOver takes a draft with new things in it, if the source is heard then and
// less is wrong.
func (b *builder) takeOver(d draft, fresh []part, source, destination name.Point) bool {
	// A dummy makes room for the plug that goes where it is.
	d.dummies = slices.DeleteFunc(d.dummies, func(j int) bool {
		return slices.ContainsFunc(fresh, func(p part) bool {
			return p.kind == cordPart && (p.a == j || p.b == j) || p.kind == leadPart && p.b == j
		})
	})
	before := *b
	if d.twice(b.board) != nil || !b.try(d) {
		return false
	}
	if !slices.Contains(b.state.Hears(destination), source) {
		*b = before
		return false
	}
	for _, p := range fresh {
		b.placed[p] = true
	}
	return true
}

// fanOut puts a mult in the middle of a cord that carries the source, and goes on
// from there to the destination.
func (b *builder) fanOut(source, destination name.Point) bool {
	to := b.nodes[b.node[b.number[destination]]].jacks
	for i, c := range b.d.cords {
		if c[1] == nowhere || !b.state.Joined(source, b.points[b.jacks[c[0]].point]) {
			continue
		}
		for n := range b.nodes {
			for _, j := range to {
				if b.usable(j) && b.fan(i, n, j, source, destination) {
					return true
				}
			}
		}
	}
	return false
}

// fan is fanOut with one cord, by one mult, to one jack.
func (b *builder) fan(cord, mult, to int, source, destination name.Point) bool {
	m := b.nodes[mult]
	if len(m.sources)+len(m.inputs)+len(m.outputs)+len(m.ins) > 0 {
		return false
	}
	ends := []int{b.d.cords[cord][0], b.d.cords[cord][1], to}
	plugged := b.d.plugs()
	d := b.d.clone()
	d.cords = slices.Delete(d.cords, cord, cord+1)
	var fresh []part
	for _, end := range ends {
		at := slices.IndexFunc(m.jacks, func(j int) bool {
			return b.usable(j) && !slices.Contains(plugged, j) && b.shelf.any(j, end)
		})
		if at < 0 {
			return false
		}
		pair := ordered([2]int{m.jacks[at], end})
		plugged = append(plugged, m.jacks[at])
		d.cords = append(d.cords, pair)
		fresh = append(fresh, part{cordPart, pair[0], pair[1]})
	}
	return b.takeOver(d, fresh, source, destination)
}

// close closes a crosspoint and those that go with it, and opens what else their
// outputs listened to.
func (b *builder) close(crosses []int, x int) []int {
	all := append([]int{x}, b.fellows[x]...)
	for _, y := range all {
		crosses = slices.DeleteFunc(crosses, func(z int) bool { return b.crosses[z].output == b.crosses[y].output })
	}
	crosses = append(crosses, all...)
	slices.Sort(crosses)
	return slices.Compact(crosses)
}

// cheapest is the cheapest way from what a source drives to a node, as its last
// hop; nil if there is none. It is Dijkstra's, over the nodes of the board.
func (b *builder) cheapest(source, to int, barred map[part]bool) *hop {
	r := b.newRouter(source, to)
	best := make([]*hop, len(b.nodes))
	settled := make([]bool, len(b.nodes))
	start := &hop{to: b.node[b.sources[source]], along: nowhere}
	best[start.to] = start
	for open := (frontier{start}); len(open) > 0; {
		next := heap.Pop(&open).(*hop)
		if settled[next.to] {
			continue
		}
		if next.to == to {
			return next
		}
		settled[next.to] = true
		for _, h := range r.hops(next) {
			if h.kind != 0 && barred[h.part] || settled[h.to] {
				continue
			}
			if had := best[h.to]; had == nil || h.cost < had.cost {
				best[h.to] = &h
				heap.Push(&open, &h)
			}
		}
	}
	return nil
}
