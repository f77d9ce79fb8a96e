package plan

import (
	"slices"

	"bayhand/model/measure"
)

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
