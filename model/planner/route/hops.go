package route

import (
	"math"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/stock"
)

// hop is the last step of the cheapest way to a node that is known: what it puts
// in, and the node before. A normal that holds, and what is in already, are hops
// that put nothing in.
type hop struct {
	graph.Part
	from int
	cost int
	// along is what is in already that a hop goes along, and needs to stay.
	along graph.Part
}

// router looks for the cheapest way of one source to one node through the draft
// as it is. It is Dijkstra's, over the nodes of the board.
type router struct {
	*graph.Graph
	*draft
	source, to int
	barred     map[graph.Part]bool
	// ousting lets the way go where others are.
	ousting bool
	best    []hop
	// costs is, by node, what is to be undercut there: the cost of the way that is known,
	// followed where it is followed already.
	costs []int
	open  frontier
	// held are the jacks with plugs of the way so far, spared those that it must
	// leave empty for a normal that it goes along, kept the outputs of matrices whose
	// crosspoints it goes through.
	held, spared, kept []int
	// ready are the longest cords that are free; nil where there is no end to them.
	ready *stock.Longest
	// pluggable says of each node whether the signal may be plugged into it: 1 yes, -1
	// no, 0 where nobody asked.
	pluggable []int8
}

// cheapest is the cheapest way from what a source drives to a node: what it puts
// in, the last first. It is nil if there is no way.
func (b *builder) cheapest(source, to int, barred map[graph.Part]bool, ousting bool) []graph.Part {
	clear(b.pluggable)
	clear(b.best)
	for n := range b.costs {
		b.costs[n] = math.MaxInt
	}
	r := &router{Graph: b.Graph, draft: b.draft, source: source, to: to, barred: barred, ousting: ousting, best: b.best, costs: b.costs, pluggable: b.pluggable, ready: b.lieReady()}
	start := b.Node[b.Sources[source]]
	r.best[start] = hop{from: graph.None}
	r.costs[start] = 0
	for r.open = (frontier{{node: start}}); len(r.open) > 0; {
		next := r.open.pop()
		n := next.node
		switch {
		case next.cords:
			r.lookBack(n)
			r.cordHops(n)
		case r.costs[n] == followed:
		case n == to:
			return r.way()
		default:
			r.costs[n] = followed
			r.follow(n)
		}
	}
	return nil
}

// way is what the way to the end puts in.
func (r *router) way() []graph.Part {
	way := []graph.Part{}
	for n := r.to; n != graph.None; n = r.best[n].from {
		if r.best[n].Kind != 0 {
			way = append(way, r.best[n].Part)
		}
	}
	return way
}

// follow looks at all ways on from a node.
func (r *router) follow(n int) {
	r.lookBack(n)
	r.trial.State.EachLink(n, func(by graph.Part, to int) {
		if !r.breaks(by) {
			r.reach(n, graph.Part{}, to, 0, by)
		}
	})
	for _, x := range r.trial.State.Ahead(n) {
		r.reach(n, graph.Part{}, r.Outputs[r.Crosses[x].Output].Node, 0, graph.Part{Kind: graph.Cross, A: x})
	}
	r.crossHops(n)
	r.leadHops(n)
	r.oldHops(n)
	r.open.push(reaching{r.best[n].cost + movedCost, n, true})
}

// reach keeps a hop if it is the cheapest to its end that is known, and could be
// part of a way that is cheaper than the one known to the end.
func (r *router) reach(from int, p graph.Part, to, cost int, along graph.Part) {
	r.work++
	cost += r.best[from].cost
	if r.beaten(to, cost) || r.barred[p] {
		return
	}
	r.best[to] = hop{Part: p, from: from, cost: cost, along: along}
	r.costs[to] = cost
	r.open.push(reaching{cost, to, false})
}

// beaten says whether a way to a node at a cost is no better than one that is known
// there, or to the end.
func (r *router) beaten(to, cost int) bool { return r.costs[to] <= cost || r.costs[r.to] <= cost }

// followed is below what any way costs.
const followed = -1

// lookBack notes what the way so far holds.
func (r *router) lookBack(n int) {
	r.held, r.spared, r.kept = r.held[:0], r.spared[:0], r.kept[:0]
	for ; n != graph.None; n = r.best[n].from {
		h := &r.best[n]
		switch h.Kind {
		case graph.Cord:
			r.held = append(r.held, h.A, h.B)
		case graph.Lead:
			r.held = append(r.held, h.B)
		case graph.Dummy, graph.Cross:
		}
		switch t := h.along; t.Kind {
		case graph.Cord:
			r.held = append(r.held, t.A, t.B)
		case graph.Lead:
			r.held = append(r.held, t.B)
		case graph.Cross:
			r.kept = append(r.kept, r.Crosses[t.A].Output)
		case graph.HeldNormal:
			m := r.Normals[t.A]
			for _, j := range []int{m.A, m.B} {
				if m.Breaks(j) {
					r.spared = append(r.spared, j)
				}
			}
		}
	}
}

// breaks says whether the way so far breaks a normal, or has pulled a cord or a
// lead for a plug of its own.
func (r *router) breaks(t graph.Part) bool {
	holds := func(j int) bool { return slices.Contains(r.held, j) }
	switch t.Kind {
	case graph.HeldNormal:
		n := r.Normals[t.A]
		return n.BreaksA && holds(n.A) || n.BreaksB && holds(n.B)
	case graph.Cord:
		return holds(t.A) || holds(t.B)
	case graph.Lead:
		return holds(t.B)
	case graph.Cross:
	}
	return false
}

// room is what it costs to plug something into a jack, beside the plug; false
// where that cannot be. A dummy makes room.
func (r *router) room(j int) (cost int, ok bool) {
	if !r.problem.Usable(j) || slices.Contains(r.held, j) || slices.Contains(r.spared, j) {
		return 0, false
	}
	switch r.trial.Plugs[j].Kind {
	case graph.Cord, graph.Lead:
		switch {
		case r.idle[r.trial.PartAt(j)]:
			return pullCost, true
		case !r.ousting:
			return 0, false
		}
		return ousterCost + againCost*r.ousted[graph.Part{Kind: graph.Dummy, A: j}], true
	case graph.Dummy, graph.Cross:
	}
	return againCost / 4 * r.ousted[graph.Part{Kind: graph.Dummy, A: j}], true
}

// sibling says whether a cord in a jack carries the source already, to another
// destination.
func (r *router) sibling(j int) bool {
	if p := r.trial.Plugs[j]; p.Kind != graph.Cord || p.Other == graph.None {
		return false
	}
	_, ok := slices.BinarySearch(r.trial.State.HeardOn(r.trial.State.NetOf(r.Jacks[j].Node)), r.source)
	return ok
}

// forks says whether a signal can go on from a node in two ways: the one that is
// looked for, and that of a cord which has made room.
func (r *router) forks(n int) bool {
	if n == r.to {
		return false
	}
	free := 0
	for _, j := range r.Nodes[n].Jacks {
		if r.problem.Usable(j) && r.trial.Plugs[j].Kind == 0 {
			free++
		}
	}
	return free >= 3 || len(r.Nodes[n].Ins) > 1
}

func (r *router) crossHops(n int) {
	for _, x := range r.Nodes[n].Ins {
		o := r.Crosses[x].Output
		cost := crossCost
		if len(r.trial.State.Behind(o)) > 0 && !r.idle[graph.Part{Kind: graph.Cross, A: r.trial.State.Behind(o)[0]}] {
			if !r.ousting || slices.Contains(r.kept, o) {
				continue
			}
			cost += ousterCost
		}
		cost += againCost / 4 * r.ousted[graph.Part{Kind: graph.Cross, A: graph.None, B: o}]
		out := r.Outputs[o].Node
		if r.Incomplete(x) || r.beaten(out, r.best[n].cost+cost) || !r.enters(out, r.source, r.to) || r.Outputs[o].Relay && len(r.Always(out)) > 0 {
			continue
		}
		if r.wasClosed[x] {
			cost += presentCost - crossCost
		}
		r.reach(n, graph.Part{Kind: graph.Cross, A: x}, out, cost, graph.Part{})
	}
}

// oldHops are the ways on by cords of the present patch that are out now.
func (r *router) oldHops(n int) {
	for _, i := range r.Nodes[n].Jacks {
		if old := r.oldAt[i]; old != graph.None && r.problem.Present.Cords[old][1] != graph.None {
			r.cordHop(n, i, r.problem.Present.Cords[old][0]+r.problem.Present.Cords[old][1]-i, presentCost)
		}
	}
}

// cordHops are the ways on by all other cords.
func (r *router) cordHops(n int) {
	cost := r.best[n].cost
	if r.costs[r.to] <= cost+movedCost {
		return
	}
	for _, i := range r.Nodes[n].Jacks {
		here, ok := r.room(i)
		if !ok {
			continue
		}
		old := r.oldAt[i] != graph.None
		for _, j := range r.reached(i) {
			to := r.nodes[j]
			if r.beaten(to, cost+movedCost) || !r.plugsInto(j) {
				continue
			}
			r.work++
			if !old && r.oldAt[j] == graph.None && r.beaten(to, cost+here+cordCost) {
				continue
			}
			if r.beaten(to, cost+here+r.leastCordCost(i, j)) {
				continue // few are cheaper than what is known: what this one costs is not asked
			}
			if cost := r.cordCost(i, j); cost != outOfStock {
				r.cordHop(n, i, j, cost)
			}
		}
	}
}

// cordHop is the way on by one cord, at the price of the cord.
func (r *router) cordHop(n, i, j, cost int) {
	to := r.Jacks[j].Node
	if to == n || r.beaten(to, r.best[n].cost+cost) || !r.plugsInto(j) {
		return
	}
	here, okHere := r.room(i)
	there, okThere := r.room(j)
	if !okHere || !okThere || r.sibling(i) && !r.forks(to) {
		return
	}
	ends := graph.Ordered([2]int{i, j})
	p := graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]}
	r.reach(n, p, to, here+there+cost+r.leaves(j)+againCost/4*r.ousted[p], graph.Part{})
}

func (r *router) leadHops(n int) {
	for _, p := range r.Nodes[n].Ports {
		if r.trial.Leads[p] != graph.None {
			continue
		}
		for j := range r.Jacks {
			if there, ok := r.room(j); ok && r.problem.Stock.LeadGoes(p, j) && r.plugsInto(j) && r.freePort(j) {
				r.reach(n, graph.Part{Kind: graph.Lead, A: p, B: j}, r.Jacks[j].Node, leadCost+there+r.leaves(j), graph.Part{})
			}
		}
	}
	for _, p := range r.Nodes[r.to].Ports {
		if r.trial.Leads[p] != graph.None || !r.freeJack(p) {
			continue
		}
		for _, j := range r.Nodes[n].Jacks {
			if there, ok := r.room(j); ok && r.problem.Stock.LeadGoes(p, j) && r.freePort(j) {
				r.reach(n, graph.Part{Kind: graph.Lead, A: p, B: j}, r.to, leadCost+there, graph.Part{})
			}
		}
	}
}

// plugsInto says whether the signal may be plugged into a jack: an amplifier's
// output there would be joined with it.
func (r *router) plugsInto(j int) bool {
	n := r.nodes[j]
	if r.pluggable[n] == 0 {
		r.pluggable[n] = -1
		if len(r.Always(n)) == 0 && r.enters(n, r.source, r.to) {
			r.pluggable[n] = 1
		}
	}
	return r.pluggable[n] > 0
}

// freePort and freeJack say that the input of loose gear, which is a port and a socket,
// has no plug as the other of the two.
func (r *router) freePort(j int) bool {
	p := r.LoosePort(j)
	return p == graph.None || r.trial.Leads[p] == graph.None
}

func (r *router) freeJack(port int) bool {
	j := r.LooseJack(port)
	return j == graph.None || r.trial.Plugs[j].Kind == 0
}
