package plan

import (
	"container/heap"
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

// frontier are hops not yet followed, the cheapest first; of two that cost the
// same, the one to the lesser node.
type frontier []*hop

func (f frontier) Len() int      { return len(f) }
func (f frontier) Swap(i, j int) { f[i], f[j] = f[j], f[i] }
func (f *frontier) Push(h any)   { *f = append(*f, h.(*hop)) }
func (f frontier) Less(i, j int) bool {
	if f[i].cost != f[j].cost {
		return f[i].cost < f[j].cost
	}
	return f[i].to < f[j].to
}

func (f *frontier) Pop() any {
	last := (*f)[len(*f)-1]
	*f = (*f)[:len(*f)-1]
	return last
}

// router looks for ways of one source to one node through the draft as it is.
type router struct {
	*builder
	source, to int
	// plugged are the jacks that hold a plug of the draft that stays, dummies those
	// with a dummy, taken the outputs of matrices that the builder has switched.
	plugged, dummies []bool
	taken            map[int]bool
	// standing are where the cords that are in lead, by node.
	standing map[int][]int
	// crossed are where the crosspoints that are closed lead, by node.
	crossed map[int][]int
	// lets says of each node whether the signal may be plugged into it: 1 yes, -1
	// no, 0 where nobody asked.
	lets []int8
}

func (b *builder) newRouter(source, to int) *router {
	r := &router{
		builder: b, source: source, to: to,
		plugged: make([]bool, len(b.jacks)), dummies: make([]bool, len(b.jacks)), taken: map[int]bool{},
		standing: map[int][]int{}, crossed: map[int][]int{}, lets: make([]int8, len(b.nodes)),
	}
	for _, c := range b.d.cords {
		r.plugged[c[0]] = true
		if c[1] == nowhere {
			continue
		}
		r.plugged[c[1]] = true
		x, y := b.jacks[c[0]].node, b.jacks[c[1]].node
		r.standing[x], r.standing[y] = append(r.standing[x], y), append(r.standing[y], x)
	}
	for _, l := range b.d.leads {
		r.plugged[l[1]] = true
	}
	for _, j := range b.d.dummies {
		r.dummies[j] = true
	}
	for _, x := range b.d.crosses {
		c := b.crosses[x]
		r.crossed[c.from] = append(r.crossed[c.from], b.outputs[c.output].node)
		if b.placed[part{crossPart, x, 0}] {
			r.taken[c.output] = true
		}
	}
	return r
}

// hops are all ways on from a node. The jacks that the way so far has plugged, or
// must leave empty for a normal it goes along, are held meanwhile.
func (r *router) hops(from *hop) []hop {
	n := from.to
	var all []hop
	add := func(p part, to, cost int) {
		all = append(all, hop{part: p, to: to, before: from, cost: from.cost + cost, along: nowhere})
	}
	held := r.hold(from, hop.ends)
	for _, m := range r.nodes[n].normals {
		if one := r.normals[m]; !r.broken(one) {
			all = append(all, hop{to: r.jacks[one.a].node + r.jacks[one.b].node - n, before: from, cost: from.cost, along: m})
		}
	}
	for _, to := range r.standing[n] {
		add(part{}, to, 0)
	}
	for _, to := range r.crossed[n] {
		add(part{}, to, 0)
	}
	held = append(held, r.hold(from, r.spared)...)
	r.crossHops(n, add)
	r.cordHops(n, add)
	r.leadHops(n, add)
	for _, j := range held {
		r.plugged[j] = false
	}
	return all
}

// hold marks jacks that a way needs as plugged, and returns those that were not.
func (r *router) hold(from *hop, needs func(h hop) []int) []int {
	var held []int
	for h := from; h != nil; h = h.before {
		for _, j := range needs(*h) {
			if !r.plugged[j] {
				r.plugged[j] = true
				held = append(held, j)
			}
		}
	}
	return held
}

// ends are the jacks that a hop plugs.
func (h hop) ends() []int {
	switch h.kind {
	case cordPart:
		return []int{h.a, h.b}
	case leadPart:
		return []int{h.b}
	case dummyPart, crossPart:
	}
	return nil
}

// spared are the jacks whose plug would break the normal that a hop goes along.
func (r *router) spared(h hop) []int {
	if h.along == nowhere {
		return nil
	}
	m := r.normals[h.along]
	return slices.DeleteFunc([]int{m.a, m.b}, func(j int) bool { return !m.breaks(j) })
}

// broken says whether a plug is in a jack that breaks the normal.
func (r *router) broken(n normal) bool {
	in := func(j int) bool { return r.plugged[j] || r.dummies[j] }
	return n.breaksA && in(n.a) || n.breaksB && in(n.b)
}

func (r *router) crossHops(n int, add func(part, int, int)) {
	for _, x := range r.nodes[n].ins {
		o := r.crosses[x].output
		if r.taken[o] || r.lame(x) {
			continue
		}
		out := r.outputs[o].node
		if r.enters(out, r.source, r.to) && !(r.outputs[o].relay && len(r.always(out)) > 0) {
			add(part{crossPart, x, 0}, out, crossCost)
		}
	}
}

func (r *router) cordHops(n int, add func(part, int, int)) {
	for _, i := range r.nodes[n].jacks {
		if r.plugged[i] || !r.usable(i) {
			continue
		}
		for _, j := range r.near(i) {
			if r.plugged[j] || r.jacks[j].node == n || !r.plugsInto(j) {
				continue
			}
			ends := ordered([2]int{i, j})
			way := int(r.shelf.need(i, j) / measure.Millimetre) // the nearer jack of two alike
			add(part{cordPart, ends[0], ends[1]}, r.jacks[j].node, cordCost+min(way, cordCost)/10+r.leaves(j))
		}
	}
}

// near are the jacks that a cord owned reaches from a jack.
func (b *builder) near(i int) []int {
	if list, ok := b.reached[i]; ok {
		return list
	}
	list := []int{}
	for j := range b.jacks {
		if b.usable(j) && b.shelf.any(i, j) {
			list = append(list, j)
		}
	}
	b.reached[i] = list
	return list
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

func (r *router) leadHops(n int, add func(part, int, int)) {
	for _, p := range r.nodes[n].ports {
		for j := range r.jacks {
			if !r.plugged[j] && r.usable(j) && r.goesTo(p, j) && r.plugsInto(j) {
				add(part{leadPart, p, j}, r.jacks[j].node, leadCost+r.leaves(j))
			}
		}
	}
	for _, p := range r.nodes[r.to].ports {
		for _, j := range r.nodes[n].jacks {
			if !r.plugged[j] && r.usable(j) && r.goesTo(p, j) {
				add(part{leadPart, p, j}, r.to, leadCost)
			}
		}
	}
}

// enters says whether a signal may be brought to a node: no gear drives it, and
// none there is the worse for it, unless it is where the way ends.
func (b *builder) enters(n, source, to int) bool {
	return len(b.nodes[n].sources) == 0 && (n == to || b.takes(n, source, false))
}

// plugsInto says whether the signal may be plugged into a jack: an amplifier's
// output there would be joined with it.
func (r *router) plugsInto(j int) bool {
	n := r.jacks[j].node
	if r.lets[n] == 0 {
		r.lets[n] = -1
		if len(r.always(n)) == 0 && r.enters(n, r.source, r.to) {
			r.lets[n] = 1
		}
	}
	return r.lets[n] > 0
}
