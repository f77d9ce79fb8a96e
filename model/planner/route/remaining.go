package route

import (
	"math"
	"slices"

	"bayhand/model/graph"
)

// remaining finds what a way still costs at least from each node: backwards from its end,
// by all that is no new plug, each at the least that it could cost. No hop leads to where
// less remains than here by more than what it costs (a consistent bound: Hart, Nilsson and
// Raphael 1968), so that what is left out for it is on no way that is cheaper.
type remaining struct {
	way  *router
	open frontier
	// elsewhere is what remains at least where the next hop is by a new plug, and leaving of
	// that what it costs to go out by a cord or a lead.
	elsewhere, leaving int
	// entries are the jacks by which a new plug could come in.
	entries []int
}

// endless is more than any way costs.
const endless = math.MaxInt / 4

// reckon finds what remains, by node, in the order of what it is, as far as it is less than
// elsewhere.
func (r *remaining) reckon() {
	w := r.way
	for n := range w.least {
		w.least[n] = endless
	}
	r.elsewhere = endless
	for _, p := range w.Nodes[w.to].Ports {
		if w.trial.Leads[p] == graph.None && freeJack(w.draft, p) {
			r.elsewhere = leadCost
		}
	}
	r.findLoose()
	for r.back(w.to, 0); len(r.open) > 0; {
		next := r.open.pop()
		if next.cost >= r.elsewhere {
			break
		}
		if next.cost == w.least[next.node] {
			r.goBack(next.node, next.cost)
		}
	}
	for n := range w.least {
		w.least[n] = min(w.least[n], r.elsewhere)
	}
}

// findLoose finds the cords of the present patch of which an end could move.
func (r *remaining) findLoose() {
	w := r.way
	r.leaving = w.fresh
	if len(w.Ports) > 0 {
		r.leaving = min(r.leaving, leadCost)
	}
	for _, j := range w.oldJacks {
		here, ok := w.room(j)
		if w.loose[j] = ok && w.movable(w.problem.Present.Cords[w.oldAt[j]]); w.loose[j] {
			r.leaving = min(r.leaving, here+movedCost)
		}
	}
}

func (r *remaining) back(n, cost int) {
	if cost < r.way.least[n] {
		r.way.least[n] = cost
		r.open.push(reaching{cost: cost, node: n})
	}
}

// goBack looks at all hops that lead to a node.
func (r *remaining) goBack(n, cost int) {
	w := r.way
	w.trial.State.EachLink(n, func(_ graph.Part, to int) { r.back(to, cost) })
	for _, o := range w.Nodes[n].Outputs {
		for _, x := range w.trial.State.Behind(o) {
			r.back(w.Crosses[x].From, cost)
		}
		switching, ok := w.switching(o)
		if !ok {
			continue
		}
		for _, x := range w.Outputs[o].Crosses {
			r.back(w.Crosses[x].From, cost+w.crossing(x, switching))
		}
	}
	for _, j := range w.Nodes[n].Jacks {
		if there, ok := w.room(j); ok && w.plugsInto(j) {
			r.enter(j, cost+there+w.leaves(j))
		}
	}
}

// enter notes that a plug could come into a jack, from elsewhere or from the other end of a
// cord of the present patch.
func (r *remaining) enter(j, cost int) {
	w := r.way
	r.entries = append(r.entries, j)
	if r.elsewhere = min(r.elsewhere, cost+r.leaving); w.loose[j] {
		r.elsewhere = min(r.elsewhere, cost+movedCost)
	}
	i, ok := w.otherOld(j)
	if !ok {
		return
	}
	if here, ok := w.room(i); ok {
		r.back(w.nodes[i], cost+here+presentCost)
	}
}

// worth are the jacks to which a new cord could lead for less than to elsewhere.
func (r *remaining) worth() []int {
	list := slices.Clone(r.entries)
	for _, j := range r.way.oldJacks {
		if r.way.loose[j] {
			list = append(list, j)
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}
