package bound

import (
	"context"
	"maps"
	"math"
	"slices"

	"bayhand/model/planner/problem"
)

// Raise is a number of plugs that every plan handles at least, often higher than that of Of in
// large rooms. Plugs is what a plan handles that is known; work how many looks at an arc it may
// take. It ends early where the context does, with what it has.
//
// It is a Lagrangian bound (Held and Karp 1971, from memory): the ways of each source are looked
// for by themselves, as if no other source was there, and what sources have to share gets a
// price, which rises while more of it is used than there is (subgradient steps, Polyak 1969,
// from memory). A plan holds ways for every source, and no more of a scarce thing than there is:
// so the cheapest ways of all sources, less what all scarce things cost, are no more than its
// plugs, at whatever prices. Only how good the bound is depends on floating point.
//
// A new cord costs two, and so does an old one that is in no plan; one that is made of the
// other by the move of an end saves two, once: so an old cord is a scarce thing as well. An
// old cord that could stay saves nothing, since that it goes costs as much. Sources and
// destinations that take leads cost nothing here, rooms with ganged crosspoints neither.
func Raise(ctx context.Context, p *problem.Problem, plugs int, work int64) int {
	if p.Options.LeaveCords || len(p.Ganged) > 0 {
		return 0
	}
	a := newAscent(newFacts(p))
	best := math.MinInt
	for theta := 1.0; theta > smallest && best <= (plugs-1)*unit && ctx.Err() == nil; {
		a.wake()
		value := a.value()
		best = max(best, value)
		if !a.step(theta * float64(plugs*unit-value)) {
			break
		}
		a.tree.looks += len(a.nets)
		theta = math.Pow(smallest, float64(a.tree.looks)/float64(work))
	}
	return max(0, (best+unit-1)/unit)
}

// smallest is the part of a step that the last one is.
const smallest = 0.01

// ascent is a search for prices at which the bound is high.
type ascent struct {
	*facts
	networks networks
	// nets are those of sources whose ways cost something, or might at the next prices;
	// asleep is what others use, by source.
	nets   []*network
	asleep map[int][]int
	prices *prices
	olds   *olds
	// sure is what every plan handles beside ways and old cords, in units.
	sure    int
	tree    tree
	courses []float64 // in which the prices go, by thing
	turns   []float64 // those of old cords
}

func newAscent(f *facts) *ascent {
	w := newWalker(f)
	b := newAlone(f, w)
	a := &ascent{facts: f, asleep: map[int][]int{}, prices: newPrices(f), olds: newOlds(f, b)}
	a.networks = networks{Graph: f.problem.Graph, facts: f, walker: w, zones: newZones(f), prices: a.prices, olds: a.olds}
	a.sure = (b.count + f.needlessDummies()) * unit
	a.courses, a.turns = make([]float64, len(a.prices.of)), make([]float64, len(a.olds.off))
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
	if !n.free {
		a.nets = append(a.nets, a.networks.make(source, true))
		return
	}
	clear(a.prices.used)
	a.count(n)
	for i, times := range a.prices.used {
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

// value is the bound at the prices as they are, in units.
func (a *ascent) value() int {
	total := a.sure + a.olds.pay(a.facts) - a.prices.begin()
	clear(a.olds.took)
	for _, uses := range a.asleep {
		for _, u := range uses {
			a.prices.used[u]++
		}
	}
	for _, n := range a.nets {
		if !n.free || a.dearer(n) {
			total += a.reckon(n)
		}
		a.count(n)
	}
	return total
}

// dearer says whether ways that cost nothing would cost something now.
func (a *ascent) dearer(n *network) bool {
	return slices.ContainsFunc(n.tree, func(i int) bool { return a.prices.ofArc(&n.arcs[i], a.olds) > 0 })
}

// reckon finds the cheapest ways of a source, and what they cost.
func (a *ascent) reckon(n *network) int {
	for i := range n.arcs {
		n.price[i] = a.prices.ofArc(&n.arcs[i], a.olds)
	}
	n.tree = n.tree[:0]
	price := a.growTo(n, a.dear(n))
	n.free = price == 0 && !n.barred
	slices.Sort(n.tree)
	n.tree = slices.Compact(n.tree)
	return price
}

// growTo finds the cheapest ways to some ends; its price.
func (a *ascent) growTo(n *network, ends []int) int {
	if len(ends) == 0 {
		return 0
	}
	price := a.tree.grow(n, ends)
	a.tree.walk(1<<len(ends)-1, n.root, func(i int) { n.tree = append(n.tree, i) })
	return price
}

// dear are the ends that cost something by themselves; the dearest where there are many. What
// costs nothing adds nothing to what others cost. An end to which there is no way says nothing.
func (a *ascent) dear(n *network) []int {
	var ends []int
	price := map[int]int{}
	n.barred = false
	for _, e := range n.ends {
		switch price[e] = a.tree.grow(n, []int{e}); {
		case price[e] == 0:
			a.tree.walk(1, n.root, func(i int) { n.tree = append(n.tree, i) })
		case price[e] < far:
			ends = append(ends, e)
		default:
			n.barred = true
		}
	}
	slices.SortStableFunc(ends, func(x, y int) int { return price[y] - price[x] })
	return ends[:min(len(ends), mostEnds)]
}

// count notes what the ways of a source use.
func (a *ascent) count(n *network) {
	for _, i := range n.tree {
		a.prices.note(&n.arcs[i])
		if g := n.arcs[i].old; g != none {
			a.olds.took[g]++
		}
	}
}

// smooth is the part of a course that comes from the round before.
const smooth = 0.5

// step changes the prices by so much of a plug, along what is used too often or too rarely;
// false where nothing is.
func (a *ascent) step(by float64) bool {
	norm := 0.0
	turn := func(course *float64, over float64, low, high bool) {
		blocked := func(x float64) float64 {
			if x < 0 && low || x > 0 && high {
				return 0
			}
			return x
		}
		*course = blocked((1-smooth)*over + smooth**course)
		norm += max(*course**course, blocked(over)*blocked(over))
	}
	for i, price := range a.prices.of {
		turn(&a.courses[i], float64(a.prices.used[i]-a.prices.most[i]), price == 0, false)
	}
	for g, off := range a.olds.off {
		turn(&a.turns[g], float64(1-a.olds.took[g]), off == 0, off == a.olds.most[g])
	}
	if norm == 0 {
		return false
	}
	for i := range a.prices.of {
		a.prices.of[i] = max(0, a.prices.of[i]+int(by/norm*a.courses[i]))
	}
	for g := range a.olds.off {
		a.olds.off[g] = min(a.olds.most[g], max(0, a.olds.off[g]+int(by/norm*a.turns[g])))
	}
	return true
}
