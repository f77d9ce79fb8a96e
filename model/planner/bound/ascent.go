package bound

import (
	"maps"
	"slices"

	"bayhand/model/graph"
)

// ascent is a search for prices at which the bound is high.
type ascent struct {
	*facts
	networks networks
	// nets are those of sources whose ways cost something, or might at the next prices;
	// asleep is what others use, by source.
	nets   []*network
	asleep map[int][]int
	prices *prices
	limits *limits
	leasts *leasts
	used   []int // by thing, of the cheapest ways
	// sure is what every plan handles beside ways, in units, less what is off for old cords.
	sure int
	tree tree
	// now are the prices as they are; onward is what ways cost from where a source leaves, by vertex.
	now    *leasts
	onward []int
	// rounds counts them; treeLooks and nearLooks are those when the least prices were renewed.
	rounds, treeLooks, nearLooks int
}

func newAscent(f *facts) *ascent {
	w := newWalker(f)
	b := newAlone(f, w)
	o := newOlds(f, w, b)
	t := thingsOf(f, o)
	a := &ascent{facts: f, asleep: map[int][]int{}, prices: newPrices(t), limits: newLimits(f, t, o), leasts: &leasts{prices: newPrices(t)}, used: make([]int, t.count())}
	a.tree.prices, a.now = a.prices, &leasts{prices: a.prices}
	a.prices.set(func(i int) int {
		if i == t.leftOut() {
			return 2 * unit // about what it saves
		}
		if a.limits.of[i] != graph.None {
			return 0
		}
		return max(a.limits.low[i], -unit)
	})
	a.leasts.renew(a.prices, a.limits, 0)
	a.networks = networks{Graph: f.problem.Graph, facts: f, walker: w, zones: newZones(f), things: t, olds: o, guards: newGuards(f, b), alone: map[[2]int]bool{}}
	if !f.cordsAlone {
		a.sure = b.count*f.toBreak + (f.needlessDummies()+o.rest(f))*unit
	}
	for _, s := range f.asked() {
		if len(f.problem.Nodes[f.problem.Node[f.problem.Sources[s]]].Ports) == 0 {
			a.add(s)
		}
	}
	return a
}

// add takes a source in: asleep where its ways cost nothing, without a new cord.
func (a *ascent) add(source int) {
	n := a.networks.make(source, false)
	if len(n.ends) == 0 {
		return
	}
	a.reckon(n)
	if !n.trunk.free || n.leaves != graph.None {
		a.nets = append(a.nets, a.networks.make(source, true))
		return
	}
	clear(a.used)
	a.count(n)
	for i, times := range a.used {
		for range times {
			a.asleep[source] = append(a.asleep[source], i)
		}
	}
}

// wake takes those in of which something that they use has got a price.
func (a *ascent) wake() {
	for _, s := range slices.Sorted(maps.Keys(a.asleep)) {
		if slices.ContainsFunc(a.asleep[s], func(u int) bool { return a.prices.of[u] > 0 }) {
			a.nets = append(a.nets, a.networks.make(s, true))
			delete(a.asleep, s)
		}
	}
}

// turns is in how many rounds each source is looked for once.
func (a *ascent) turns() int { return max(1, min(mostTurns, len(a.nets)/fewNets)) }

// Each source is looked for in every round where there are few.
const mostTurns, fewNets = 8, 10

// value is what the ways cost less the scarce things, in units; the bound at the prices as they
// are where turns is one. Otherwise one source in so many is looked for, by round.
func (a *ascent) value(round, turns int) int {
	total := a.sure - a.prices.ofAll(a.limits)
	clear(a.used)
	for _, uses := range a.asleep {
		for _, u := range uses {
			a.used[u]++
		}
	}
	for i, n := range a.nets {
		switch {
		case n.trunk.free && !a.dearer(n):
		case n.trunk.alone != nil && (i+round)%turns > 0:
			total += a.priceOfAll(n, n.trunk.all)
		default:
			total += a.reckon(n)
		}
		total += a.forsakes(n)
		a.count(n)
	}
	return total
}

// dearer says whether ways that cost nothing would cost something now.
func (a *ascent) dearer(n *network) bool {
	return slices.ContainsFunc(n.trunk.all, func(i int) bool { return a.prices.ofArc(&n.arcs[i]) > 0 })
}

// count notes what the ways of a source use.
func (a *ascent) count(n *network) {
	for _, i := range n.trunk.all {
		a.prices.things.note(a.used, &n.arcs[i])
	}
}

// looks counts those at arcs; one at a price takes about a half.
func (a *ascent) looks() int64 {
	return int64(a.tree.looks + a.leasts.looks + a.now.looks + a.rounds*len(a.used)/2)
}

// renew takes other least prices where these hold no more, or where ways were looked for by them
// for longer than it takes.
func (a *ascent) renew(fall int) {
	a.rounds++
	if !a.leasts.hold(a.prices) || a.tree.looks-a.treeLooks > 2*(a.leasts.looks-a.nearLooks) {
		a.leasts.renew(a.prices, a.limits, 4*fall)
		a.treeLooks, a.nearLooks = a.tree.looks, a.leasts.looks
	}
}

// part tells cords apart of which the ways of a source have more than one from one jack; false
// where there are none.
func (a *ascent) part() bool {
	parted := false
	for i, n := range a.nets {
		jacks := n.shared(a.prices.things)
		if len(jacks) == 0 || len(n.arcs) > mostArcs {
			continue
		}
		for _, j := range jacks {
			a.networks.alone[[2]int{n.source, j}] = true
		}
		a.nets[i], parted = a.networks.make(n.source, true), true
	}
	return parted
}

// mostArcs is how large a network may grow by jacks that are told apart.
const mostArcs = 50_000
