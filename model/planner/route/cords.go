package route

import (
	"bayhand/model/graph"
)

// oldHops are the ways on by cords of the present patch that are out now.
func (r *router) oldHops(n int) {
	for _, i := range r.Nodes[n].Jacks {
		if j, ok := r.otherOld(i); ok {
			r.cordHop(n, i, j, presentCost)
		}
	}
}

// cordHops are the ways on by all other cords.
func (r *router) cordHops(n int) {
	cost := r.best[n].cost
	if cost+movedCost >= r.budget {
		r.cut = min(r.cut, cost+movedCost)
		return
	}
	for _, i := range r.Nodes[n].Jacks {
		here, ok := r.room(i)
		if !ok {
			continue
		}
		fresh := r.fresh
		if r.loose[i] {
			fresh = min(fresh, movedCost)
		}
		reached := r.worth
		if cost+here+fresh+r.elsewhere < r.budget {
			reached = r.reached(i)
		} else {
			r.cut = min(r.cut, cost+here+fresh+r.elsewhere)
		}
		for _, j := range reached {
			if r.cordPays(i, j, cost, here) {
				r.payCord(n, i, j)
			}
		}
	}
}

// cordPays says whether a cord could be on a way that is cheaper than what is known. Few are:
// what it costs is not asked of all others.
func (r *router) cordPays(i, j, cost, here int) bool {
	to := r.nodes[j]
	if r.beaten(to, cost+movedCost) || !r.plugsInto(j) {
		return false
	}
	r.work++
	if !r.loose[i] && !r.loose[j] && r.beaten(to, cost+here+r.fresh) {
		return false
	}
	least := r.leastCordCost(i, j)
	return least != outOfStock && !r.beaten(to, cost+here+least)
}

func (r *router) payCord(n, i, j int) {
	if cost := r.cordCost(i, j); cost != outOfStock && r.problem.Stock.Any(i, j) {
		r.cordHop(n, i, j, cost)
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
	if !okHere || !okThere || sibling(r.draft, i, r.source) && (to == r.to || !forks(r.draft, to)) {
		return
	}
	ends := graph.Ordered([2]int{i, j})
	p := graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]}
	r.reach(n, p, to, here+there+cost+r.leaves(j)+againCost/4*r.ousted.cords[p], graph.Part{})
}

func (r *router) leadHops(n int) {
	for _, p := range r.Nodes[n].Ports {
		if r.trial.Leads[p] != graph.None {
			continue
		}
		for j := range r.Jacks {
			if there, ok := r.room(j); ok && r.problem.Stock.LeadGoes(p, j) && r.plugsInto(j) && freePort(r.draft, j) {
				r.reach(n, graph.Part{Kind: graph.Lead, A: p, B: j}, r.Jacks[j].Node, leadCost+there+r.leaves(j), graph.Part{})
			}
		}
	}
	for _, p := range r.Nodes[r.to].Ports {
		if r.trial.Leads[p] != graph.None || !freeJack(r.draft, p) {
			continue
		}
		for _, j := range r.Nodes[n].Jacks {
			if there, ok := r.room(j); ok && r.problem.Stock.LeadGoes(p, j) && freePort(r.draft, j) {
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
func freePort(d *draft, j int) bool {
	p := d.problem.LoosePort(j)
	return p == graph.None || d.trial.Leads[p] == graph.None
}

func freeJack(d *draft, port int) bool {
	j := d.problem.LooseJack(port)
	return j == graph.None || d.trial.Plugs[j].Kind == 0
}
