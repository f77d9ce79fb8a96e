package route

import (
	"math"

	"bayhand/model/graph"
)

// postponed is a node of which ways on were left out that cost too much by the end, and what they
// cost at least.
type postponed struct {
	reaching
	cut int
}

type postponedNodes []postponed

// least is what the ways that were left out cost at least.
func (p postponedNodes) least() int {
	least := endless
	for _, n := range p {
		least = min(least, n.cut)
	}
	return least
}

// take takes those of which ways cost less than a budget, and puts them among the open ones.
func (p *postponedNodes) take(budget int, open *frontier) {
	rest := (*p)[:0]
	for _, n := range *p {
		if n.cut >= budget {
			rest = append(rest, n)
			continue
		}
		n.again = true
		open.push(n.reaching)
	}
	*p = rest
}

// begin begins a search at a node.
func (r *router) begin(start int) {
	clear(r.best)
	for n := range r.costs {
		r.costs[n] = math.MaxInt
	}
	r.best[start] = hop{from: graph.None}
	r.costs[start] = 0
	r.open, r.postponed = append(r.open[:0], reaching{node: start}), r.postponed[:0]
}

// within is the cheapest way that costs less than a budget; nil if there is none. What ways on cost
// more is looked at when it is asked again with a larger one: all nodes that were reached
// are reached by the cheapest way already, since what remains falls by no more than a hop costs.
func (r *router) within(budget int) []graph.Part {
	r.budget = budget
	r.postponed.take(budget, &r.open)
	for len(r.open) > 0 {
		next := r.open.pop()
		n := next.node
		switch {
		case r.costs[n] == followed && !next.cords && !next.again:
		case n == r.to:
			return r.way()
		default:
			r.follow(next)
		}
	}
	return nil
}

// follow looks at the ways on from a node: those by new cords later than all others.
func (r *router) follow(next reaching) {
	n := next.node
	r.cut = endless
	r.lookBack(n)
	if next.cords {
		r.cordHops(n)
	} else {
		r.costs[n] = followed
		r.otherHops(n)
		if !next.again {
			r.open.push(reaching{cost: r.best[n].cost + movedCost, node: n, cords: true})
		}
	}
	if r.cut < endless {
		r.postponed = append(r.postponed, postponed{next, r.cut})
	}
}

// otherHops are the ways on by all but new cords.
func (r *router) otherHops(n int) {
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
}
