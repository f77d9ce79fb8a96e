package plan

import (
	"slices"

	"bayhand/model/measure"
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
	best := map[int]*hop{}
	settled := map[int]bool{}
	start := &hop{to: b.node[b.sources[source]], along: nowhere}
	best[start.to] = start
	for {
		var next *hop
		for n := range b.nodes {
			if h := best[n]; h != nil && !settled[n] && (next == nil || h.cost < next.cost) {
				next = h
			}
		}
		switch {
		case next == nil:
			return nil
		case next.to == to:
			return next
		}
		settled[next.to] = true
		for _, h := range b.hops(next, source, to) {
			if h.kind != 0 && barred[h.part] || settled[h.to] {
				continue
			}
			if had := best[h.to]; had == nil || h.cost < had.cost {
				best[h.to] = &h
			}
		}
	}
}

// hops are all ways on from a node.
func (b *builder) hops(from *hop, source, to int) []hop {
	n := from.to
	var all []hop
	add := func(p part, to, cost int) {
		all = append(all, hop{part: p, to: to, before: from, cost: from.cost + cost, along: nowhere})
	}
	plugged := b.pluggedWith(from)
	for _, m := range b.nodes[n].normals {
		if one := b.normals[m]; !b.broken(one, plugged) {
			all = append(all, hop{to: b.jacks[one.a].node + b.jacks[one.b].node - n, before: from, cost: from.cost, along: m})
		}
	}
	b.standingHops(n, add)
	for h := from; h != nil; h = h.before {
		b.spare(h.along, plugged)
	}
	b.crossHops(n, source, to, add)
	b.cordHops(n, source, to, plugged, add)
	b.leadHops(n, source, to, plugged, add)
	return all
}

// pluggedWith are the jacks that hold a plug of the draft that stays, or of the
// way so far.
func (b *builder) pluggedWith(from *hop) map[int]bool {
	plugged := map[int]bool{}
	for _, c := range b.d.cords {
		plugged[c[0]] = true
		if c[1] != nowhere {
			plugged[c[1]] = true
		}
	}
	for _, l := range b.d.leads {
		plugged[l[1]] = true
	}
	for h := from; h != nil; h = h.before {
		switch h.kind {
		case cordPart:
			plugged[h.a], plugged[h.b] = true, true
		case leadPart:
			plugged[h.b] = true
		case dummyPart, crossPart:
		}
	}
	return plugged
}

// broken says whether a plug is in a jack that breaks the normal.
func (b *builder) broken(n normal, plugged map[int]bool) bool {
	in := func(j int) bool { return plugged[j] || slices.Contains(b.d.dummies, j) }
	return n.breaksA && in(n.a) || n.breaksB && in(n.b)
}

// spare keeps plugs out of the jacks that would break a normal of the way.
func (b *builder) spare(along int, plugged map[int]bool) {
	if along == nowhere {
		return
	}
	for _, j := range []int{b.normals[along].a, b.normals[along].b} {
		if b.normals[along].breaks(j) {
			plugged[j] = true
		}
	}
}

// standingHops are those along cords and crosspoints that are in.
func (b *builder) standingHops(n int, add func(part, int, int)) {
	for _, c := range b.d.cords {
		if c[1] == nowhere {
			continue
		}
		switch x, y := b.jacks[c[0]].node, b.jacks[c[1]].node; n {
		case x:
			add(part{}, y, 0)
		case y:
			add(part{}, x, 0)
		}
	}
	for _, x := range b.d.crosses {
		if b.crosses[x].from == n {
			add(part{}, b.outputs[b.crosses[x].output].node, 0)
		}
	}
}

func (b *builder) crossHops(n, source, to int, add func(part, int, int)) {
	for _, x := range b.nodes[n].ins {
		if b.lame(x) {
			continue
		}
		o := b.crosses[x].output
		if slices.ContainsFunc(b.d.crosses, func(y int) bool { return b.crosses[y].output == o && b.placed[part{crossPart, y, 0}] }) {
			continue
		}
		out := b.outputs[o].node
		if b.enters(out, source, to) && !(b.outputs[o].relay && len(b.always(out)) > 0) {
			add(part{crossPart, x, 0}, out, crossCost)
		}
	}
}

func (b *builder) cordHops(n, source, to int, plugged map[int]bool, add func(part, int, int)) {
	for _, i := range b.nodes[n].jacks {
		if plugged[i] || !b.usable(i) {
			continue
		}
		for j := range b.jacks {
			if plugged[j] || b.jacks[j].node == n || !b.usable(j) || !b.shelf.any(i, j) || !b.plugsInto(j, source, to) {
				continue
			}
			ends := ordered([2]int{i, j})
			way := int(b.shelf.need(i, j) / measure.Millimetre) // the nearer jack of two alike
			add(part{cordPart, ends[0], ends[1]}, b.jacks[j].node, cordCost+min(way, cordCost)/10+b.leaves(j))
		}
	}
}

// leaves is what it costs to go in by a jack that leaves a normal of its own
// closed.
func (b *builder) leaves(j int) int {
	for _, m := range b.jacks[j].normals {
		if !b.normals[m].breaks(j) {
			return leaveCost
		}
	}
	return 0
}

func (b *builder) leadHops(n, source, to int, plugged map[int]bool, add func(part, int, int)) {
	for _, p := range b.nodes[n].ports {
		for j := range b.jacks {
			if !plugged[j] && b.usable(j) && b.goesTo(p, j) && b.plugsInto(j, source, to) {
				add(part{leadPart, p, j}, b.jacks[j].node, leadCost+b.leaves(j))
			}
		}
	}
	for _, p := range b.nodes[to].ports {
		for _, j := range b.nodes[n].jacks {
			if !plugged[j] && b.usable(j) && b.goesTo(p, j) {
				add(part{leadPart, p, j}, to, leadCost)
			}
		}
	}
}

// enters says whether a signal may be brought to a node: no gear drives it, and
// none there is the worse for it, unless it is where the way ends.
func (b *builder) enters(n, source, to int) bool {
	return len(b.nodes[n].sources) == 0 && (n == to || b.takes(n, source, false))
}

// plugsInto says whether a signal may be plugged into a jack: an amplifier's
// output there would be joined with it.
func (b *builder) plugsInto(j, source, to int) bool {
	n := b.jacks[j].node
	return len(b.always(n)) == 0 && b.enters(n, source, to)
}
