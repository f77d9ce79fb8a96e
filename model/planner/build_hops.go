package planner

import (
	"container/heap"
	"slices"
)

// hop is the last step of the cheapest way to a node that is known: what it puts
// in, and the node before. A normal that holds, and what is in already, are hops
// that put nothing in.
type hop struct {
	part
	from int
	cost int
	// along is what is in already that a hop goes along, and needs to stay.
	along       thing
	known, done bool
}

// reaching is a node at the price of the way to it. From a node that is followed
// already, the ways by new cords are still to be looked at: they are many, and
// often not needed.
type reaching struct {
	cost, node int
	cords      bool
}

// frontier are nodes not yet followed, the cheapest first; of two that cost the
// same, the lesser.
type frontier []reaching

func (f frontier) Len() int      { return len(f) }
func (f frontier) Swap(i, j int) { f[i], f[j] = f[j], f[i] }
func (f *frontier) Push(x any)   { *f = append(*f, x.(reaching)) }
func (f frontier) Less(i, j int) bool {
	return f[i].cost < f[j].cost || f[i].cost == f[j].cost && f[i].node < f[j].node
}

func (f *frontier) Pop() any {
	last := (*f)[len(*f)-1]
	*f = (*f)[:len(*f)-1]
	return last
}

// router looks for the cheapest way of one source to one node through the draft
// as it is. It is Dijkstra's, over the nodes of the board.
type router struct {
	*builder
	source, to int
	barred     map[part]bool
	// ousting lets the way go where others are.
	ousting bool
	best    []hop
	open    frontier
	// held are the jacks with plugs of the way so far, spared those that it must
	// leave empty for a normal that it goes along, kept the outputs of matrices whose
	// crosspoints it goes through.
	held, spared, kept []int
	// left is how many cords of each kind are free; nil where there is no end to
	// them.
	left []int
	// lets says of each node whether the signal may be plugged into it: 1 yes, -1
	// no, 0 where nobody asked.
	lets []int8
}

// cheapest is the cheapest way from what a source drives to a node: what it puts
// in, the last first. It is nil if there is no way.
func (b *builder) cheapest(source, to int, barred map[part]bool, ousting bool) []part {
	clear(b.lets)
	clear(b.best)
	r := &router{builder: b, source: source, to: to, barred: barred, ousting: ousting, best: b.best, lets: b.lets, left: b.stockLeft()}
	start := b.node[b.sources[source]]
	r.best[start] = hop{from: nowhere, known: true}
	for r.open = (frontier{{node: start}}); len(r.open) > 0; {
		next := heap.Pop(&r.open).(reaching)
		n := next.node
		switch {
		case next.cords:
			r.look(n)
			r.cordHops(n)
		case r.best[n].done:
		case n == to:
			return r.way()
		default:
			r.best[n].done = true
			r.follow(n)
		}
	}
	return nil
}

// way is what the way to the end puts in.
func (r *router) way() []part {
	way := []part{}
	for n := r.to; n != nowhere; n = r.best[n].from {
		if r.best[n].kind != 0 {
			way = append(way, r.best[n].part)
		}
	}
	return way
}

// follow looks at all ways on from a node.
func (r *router) follow(n int) {
	r.look(n)
	r.next(n, func(by thing, to int) {
		if !r.breaks(by) {
			r.reach(n, part{}, to, 0, by)
		}
	})
	for _, x := range r.ahead[n] {
		r.reach(n, part{}, r.outputs[r.crosses[x].output].node, 0, thing{aCross, x, 0})
	}
	r.crossHops(n)
	r.leadHops(n)
	r.oldHops(n)
	heap.Push(&r.open, reaching{r.best[n].cost + movedCost, n, true})
}

// reach keeps a hop if it is the cheapest to its end that is known, and could be
// part of a way that is cheaper than the one known to the end.
func (r *router) reach(from int, p part, to, cost int, along thing) {
	r.work++
	cost += r.best[from].cost
	if r.beaten(to, cost) || r.barred[p] {
		return
	}
	r.best[to] = hop{part: p, from: from, cost: cost, along: along, known: true}
	heap.Push(&r.open, reaching{cost, to, false})
}

func (r *router) beaten(to, cost int) bool {
	b, end := &r.best[to], &r.best[r.to]
	return b.done || b.known && b.cost <= cost || end.known && end.cost <= cost
}

// look notes what the way so far holds.
func (r *router) look(n int) {
	r.held, r.spared, r.kept = r.held[:0], r.spared[:0], r.kept[:0]
	for ; n != nowhere; n = r.best[n].from {
		h := &r.best[n]
		switch h.kind {
		case cordPart:
			r.held = append(r.held, h.a, h.b)
		case leadPart:
			r.held = append(r.held, h.b)
		case dummyPart, crossPart:
		}
		switch t := h.along; t.kind {
		case aCord:
			r.held = append(r.held, t.a, t.b)
		case aLead:
			r.held = append(r.held, t.b)
		case aCross:
			r.kept = append(r.kept, r.crosses[t.a].output)
		case aNormal:
			m := r.normals[t.a]
			for _, j := range []int{m.a, m.b} {
				if m.breaks(j) {
					r.spared = append(r.spared, j)
				}
			}
		}
	}
}

// breaks says whether the way so far breaks a normal, or has pulled a cord or a
// lead for a plug of its own.
func (r *router) breaks(t thing) bool {
	holds := func(j int) bool { return slices.Contains(r.held, j) }
	switch t.kind {
	case aNormal:
		n := r.normals[t.a]
		return n.breaksA && holds(n.a) || n.breaksB && holds(n.b)
	case aCord:
		return holds(t.a) || holds(t.b)
	case aLead:
		return holds(t.b)
	case aCross:
	}
	return false
}

// room is what it costs to plug something into a jack, beside the plug; false
// where that cannot be. A dummy makes room.
func (r *router) room(j int) (cost int, ok bool) {
	if !r.usable(j) || slices.Contains(r.held, j) || slices.Contains(r.spared, j) {
		return 0, false
	}
	switch r.plugs[j].kind {
	case cordPart, leadPart:
		switch {
		case r.idle[r.partAt(j)]:
			return pullCost, true
		case !r.ousting:
			return 0, false
		}
		return ousterCost + againCost*r.ousted[part{dummyPart, j, 0}], true
	case dummyPart, crossPart:
	}
	return againCost / 4 * r.ousted[part{dummyPart, j, 0}], true
}

// sibling says whether a cord in a jack carries the source already, to another
// destination.
func (r *router) sibling(j int) bool {
	if p := r.plugs[j]; p.kind != cordPart || p.other == nowhere {
		return false
	}
	_, ok := slices.BinarySearch(r.nets[r.net[r.jacks[j].node]].heard, r.source)
	return ok
}

// forks says whether a signal can go on from a node in two ways: the one that is
// looked for, and that of a cord which has made room.
func (r *router) forks(n int) bool {
	if n == r.to {
		return false
	}
	free := 0
	for _, j := range r.nodes[n].jacks {
		if r.usable(j) && r.plugs[j].kind == 0 {
			free++
		}
	}
	return free >= 3 || len(r.nodes[n].ins) > 1
}

func (r *router) crossHops(n int) {
	for _, x := range r.nodes[n].ins {
		o := r.crosses[x].output
		cost := crossCost
		if len(r.behind[o]) > 0 && !r.idle[part{crossPart, r.behind[o][0], 0}] {
			if !r.ousting || slices.Contains(r.kept, o) {
				continue
			}
			cost += ousterCost
		}
		cost += againCost / 4 * r.ousted[part{crossPart, nowhere, o}]
		out := r.outputs[o].node
		if r.lame(x) || r.beaten(out, r.best[n].cost+cost) || !r.enters(out, r.source, r.to) || r.outputs[o].relay && len(r.always(out)) > 0 {
			continue
		}
		if r.wasClosed[x] {
			cost += presentCost - crossCost
		}
		r.reach(n, part{crossPart, x, 0}, out, cost, thing{})
	}
}

// oldHops are the ways on by cords of the present patch that are out now.
func (r *router) oldHops(n int) {
	for _, i := range r.nodes[n].jacks {
		if old := r.oldAt[i]; old != nowhere && r.present.cords[old][1] != nowhere {
			r.cordHop(n, i, r.present.cords[old][0]+r.present.cords[old][1]-i, presentCost)
		}
	}
}

// cordHops are the ways on by all other cords.
func (r *router) cordHops(n int) {
	for _, i := range r.nodes[n].jacks {
		if _, ok := r.room(i); !ok {
			continue
		}
		for _, j := range r.reached(i) {
			if !r.plugsInto(j) || r.beaten(r.jacks[j].node, r.best[n].cost+movedCost) {
				continue
			}
			r.work++
			if cost := r.cordCost(i, j); cost != outOfStock {
				r.cordHop(n, i, j, cost)
			}
		}
	}
}

// cordHop is the way on by one cord, at the price of the cord.
func (r *router) cordHop(n, i, j, cost int) {
	to := r.jacks[j].node
	if to == n || r.beaten(to, r.best[n].cost+cost) || !r.plugsInto(j) {
		return
	}
	here, okHere := r.room(i)
	there, okThere := r.room(j)
	if !okHere || !okThere || r.sibling(i) && !r.forks(to) {
		return
	}
	ends := ordered([2]int{i, j})
	p := part{cordPart, ends[0], ends[1]}
	r.reach(n, p, to, here+there+cost+r.leaves(j)+againCost/4*r.ousted[p], thing{})
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

func (r *router) leadHops(n int) {
	for _, p := range r.nodes[n].ports {
		if r.leads[p] != nowhere {
			continue
		}
		for j := range r.jacks {
			if there, ok := r.room(j); ok && r.goesTo(p, j) && r.plugsInto(j) {
				r.reach(n, part{leadPart, p, j}, r.jacks[j].node, leadCost+there+r.leaves(j), thing{})
			}
		}
	}
	for _, p := range r.nodes[r.to].ports {
		if r.leads[p] != nowhere {
			continue
		}
		for _, j := range r.nodes[n].jacks {
			if there, ok := r.room(j); ok && r.goesTo(p, j) {
				r.reach(n, part{leadPart, p, j}, r.to, leadCost+there, thing{})
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
