package route

import (
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
// as it is. It is Dijkstra's, over the nodes of the board, and leaves out what could be on
// no way within a budget.
type router struct {
	*graph.Graph
	*draft
	*tables
	source, to int
	barred     map[graph.Part]bool
	// ousting lets the way go where others are.
	ousting bool
	// budget is what a way must cost less than; cut is the least that one could cost of those
	// that were left out while one node was followed, and postponed are the nodes of which any were.
	budget, cut int
	postponed   postponedNodes
	open        frontier
	// held are the jacks with plugs of the way so far, spared those that it must
	// leave empty for a normal that it goes along, kept the outputs of matrices whose
	// crosspoints it goes through.
	held, spared, kept []int
	// ready are the longest cords that are free, by the kinds of two jacks; nil where there is
	// no end to them. Fresh is what a cord costs at least that is not in.
	ready *stock.Longest
	fresh int
	// elsewhere is what remains at least where the next hop is by a new plug; worth are the
	// jacks to which a cord could lead where less remains, and those that are loose.
	elsewhere int
	worth     []int
}

// tables are what a router knows of nodes and jacks. They are filled anew for each search.
type tables struct {
	best []hop
	// costs is, by node, what is to be undercut there: the cost of the way that is known,
	// followed where it is followed already.
	costs []int
	// least is, by node, what remains at least from there to the end.
	least []int
	// pluggable says of each node whether the signal may be plugged into it: 1 yes, -1
	// no, 0 where nobody asked.
	pluggable []int8
	// loose says of a jack that a cord of the present patch is there of which an end could move.
	loose []bool
	// switched is, by output, one more than what it costs to have it listen to the signal; -1 where that
	// cannot be, 0 where nobody asked.
	switched []int
	// ins are, by node, the crosspoints that begin there, nil where nobody asked yet.
	ins [][]inHop
}

// inHop is a crosspoint, its output and the node of that.
type inHop struct{ cross, output, to int32 }

func newTables(g *graph.Graph) *tables {
	nodes := len(g.Nodes)
	return &tables{
		make([]hop, nodes), make([]int, nodes), make([]int, nodes), make([]int8, nodes), make([]bool, len(g.Jacks)), make([]int, len(g.Outputs)),
		make([][]inHop, nodes),
	}
}

// cheapest is the cheapest way from what a source drives to a node: what it puts
// in, the last first. It is nil if there is no way.
func (b *builder) cheapest(source, to int, barred map[graph.Part]bool, ousting bool) []graph.Part {
	return b.newRouter(source, to, barred, ousting).cheapest()
}

// cheapest is the cheapest way from what the source drives, as the draft was when the router was
// made, without what is barred now.
func (r *router) cheapest() []graph.Part {
	start := r.Node[r.Sources[r.source]]
	slack := firstSlack
	r.begin(start)
	for budget := r.least[start] + slack; r.least[start] < endless; budget, slack = r.postponed.least()+slack, 2*slack {
		if slack > lastSlack {
			budget = endless
		}
		if way := r.within(budget); way != nil || len(r.postponed) == 0 {
			return way
		}
	}
	return nil
}

// A budget is so much above the least that a way could cost, and twice as much above it where
// there was none, until it has no end.
const (
	firstSlack = 100
	lastSlack  = 6400
)

func (b *builder) newRouter(source, to int, barred map[graph.Part]bool, ousting bool) *router {
	clear(b.pluggable)
	clear(b.switched)
	r := &router{Graph: b.Graph, draft: b.draft, tables: b.tables, source: source, to: to, barred: barred, ousting: ousting}
	r.ready, r.fresh = r.lieReady(ousting)
	back := remaining{way: r}
	back.reckon()
	r.elsewhere, r.worth = back.elsewhere, back.worth()
	return r
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

// reach keeps a hop if it is the cheapest to its end that is known, and could be
// part of a way that is cheaper than the one known to the end.
func (r *router) reach(from int, p graph.Part, to, cost int, along graph.Part) {
	r.work++
	cost += r.best[from].cost
	if r.beaten(to, cost) || len(r.barred) > 0 && r.barred[p] {
		return
	}
	r.best[to] = hop{Part: p, from: from, cost: cost, along: along}
	r.costs[to] = cost
	if to == r.to {
		r.budget = cost
	}
	r.open.push(reaching{cost: cost, node: to})
}

// beaten says whether a way to a node at a cost is no better than one that is known
// there, or costs too much by the end.
func (r *router) beaten(to, cost int) bool {
	if r.costs[to] <= cost {
		return true
	}
	if cost+r.least[to] < r.budget {
		return false
	}
	r.cut = min(r.cut, cost+r.least[to])
	return true
}

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
		case r.idle.hasIn(j, r.trial.PartAt(j)):
			return pullCost, true
		case !r.ousting:
			return 0, false
		}
		return ousterCost + againCost*r.ousted.jacks[j], true
	case graph.Dummy, graph.Cross:
	}
	return againCost / 4 * r.ousted.jacks[j], true
}

// sibling says whether a cord in a jack carries a source already, to another
// destination.
func sibling(d *draft, j, source int) bool {
	if p := d.trial.Plugs[j]; p.Kind != graph.Cord || p.Other == graph.None {
		return false
	}
	_, ok := slices.BinarySearch(d.trial.State.HeardOn(d.trial.State.NetOf(d.nodes[j])), source)
	return ok
}

// forks says whether a signal can go on from a node in two ways: the one that is
// looked for, and that of a cord which has made room.
func forks(d *draft, n int) bool {
	at, free := &d.problem.Nodes[n], 0
	for _, j := range at.Jacks {
		if d.problem.Usable(j) && d.trial.Plugs[j].Kind == 0 {
			free++
		}
	}
	return free >= 3 || len(at.Ins) > 1
}
