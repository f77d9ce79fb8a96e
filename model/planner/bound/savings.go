package bound

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/matching"
)

// savings are plugs that are counted twice where a cord of the present patch becomes
// one that is counted.
type savings struct {
	*graph.Graph
	*facts
	entries *entries
	breaks  *breaks
	origins map[int][]int // by source
}

// most is how many of the plugs counted are saved at most because cords of the
// present patch become new ones or are left hanging. Each does one of that: first
// those that save two.
//
// A cord that can become that of an entry only after one in no count brought the source
// there saves nothing where that one is new, so another that is in becomes that.
func (f *savings) most() int {
	straight, all := make([][]int, len(f.gone)), make([][]int, len(f.gone)) // entries, then breaks
	hang, half, hanging := 0, 0, 0
	for g, i := range f.gone {
		straight[g], all[g] = f.becomes(i)
		switch {
		case f.hangs(i):
			hang++
		case f.reachesBreaks(i):
			half++
		}
	}
	// What hangs, and could stay, has one plug in already.
	one := 0
	for i, c := range f.problem.Present.Cords {
		if c[1] != graph.None || f.isGone[i] {
			continue
		}
		hanging++
		if _, all := f.becomes(i); len(all) > 0 {
			one++
		}
	}
	places := len(f.entries.list) + len(f.breaks.list)
	twos := min(matching.Most(all, places), (len(f.gone)+hanging+matching.Most(straight, places))/2)
	return 2*twos + one + min(len(f.gone)-twos, hang+min(half, len(f.breaks.list)))
}

// hangs says whether an old cord could be left hanging from one end for a normal
// that is not among the breaks.
func (f *savings) hangs(i int) bool {
	c := f.problem.Present.Cords[i]
	return c[1] != graph.None && (f.hangsFrom(c[0]) || f.hangsFrom(c[1]))
}

func (f *savings) hangsFrom(j int) bool {
	n := f.Jacks[j].Node
	if !f.problem.Usable(j) || f.Nodes[n].Mic || !f.problem.Stock.AnyHangs(j) || f.noSource(j) && len(f.sourcesFor[n]) > 0 {
		return false
	}
	return f.problem.Options.LeaveCords || slices.ContainsFunc(f.Jacks[j].Normals, func(m int) bool {
		return f.Normals[m].Breaks(j) && f.problem.WorthBreaking(f.Normals[m], j) && !f.breaks.counted[m] && !f.harmless(m, j)
	})
}

// harmless says whether a normal that a plug breaks which leads nowhere could do
// no harm, or the plug only good: gear comes by it to where it may be, and nothing
// else could come there without the plug.
func (f *savings) harmless(m, j int) bool {
	n, other := f.Jacks[j].Node, f.problem.OtherEnd(m, j)
	o := f.Jacks[other].Node
	switch {
	case f.clashes(n, o) || f.clashes(o, n):
		return false
	case f.onlyListens(j) || f.onlySends(m, other) || f.pricesHeld && f.onlySends(m, j):
		return true
	case len(f.Nodes[o].Sources) > 0:
		return f.deadEnd(j) && (!f.passesOn(n) || f.pricesHeld && !f.isPassedOn(o))
	case len(f.Nodes[n].Sources) > 0:
		return f.problem.OnlyByNormal(f.Normals[m], other, j) && !f.problem.Amplified(o) && !f.passesOn(o)
	}
	return false
}

// isPassedOn says whether gear that drives a node sends there what comes to one of its inputs.
func (f *savings) isPassedOn(n int) bool {
	for _, p := range slices.Concat(f.Passes, f.Numbers(f.problem.Session.Inside)) {
		if f.Node[p.Out] == n {
			return true
		}
	}
	return false
}

// onlyListens says whether at a jack, which is the only way to its node, there are but
// inputs of matrices, that need not listen.
func (f *savings) onlyListens(j int) bool {
	return f.problem.EndsAt(j) && len(f.Nodes[f.Jacks[j].Node].Inputs) == 0 && len(f.Ganged) == 0
}

// onlySends says whether at a jack, a plug in which breaks the normal as well, there is but
// the output of a matrix, which need not send anything while no plug is in the jack, or one that hangs:
// an output of relays is joined to one input at most.
func (f *savings) onlySends(m, j int) bool {
	at := &f.Nodes[f.Jacks[j].Node]
	relays := func(o int) bool { return f.Outputs[o].Relay }
	switch {
	case len(at.Jacks) != 1 || len(at.Normals) != 1 || !f.Normals[m].Breaks(j):
		return false
	case len(at.Sources)+len(at.Inputs)+len(at.Ports)+len(at.Ins) > 0 || len(f.Ganged) > 0:
		return false
	}
	return f.pricesHeld && len(at.Outputs) == 1 || len(at.Outputs) > 0 && !slices.ContainsFunc(at.Outputs, relays)
}

// becomes are the entries that an old cord could be moved to, and after them the
// breaks that it could be left hanging for. Straight are those without the entries that
// it could be moved to only if one cord more was there, which nothing else would need.
func (f *savings) becomes(i int) (straight, all []int) {
	for at, e := range f.entries.list {
		if !f.movesTo(i, e) {
			continue
		}
		place := f.entries.place(at)
		all = append(all, place)
		alone := len(f.entries.bySource[e.source]) == 1 && e.group == 0 && !e.leads && !e.anywhere
		if !alone || f.movesStraight(i, e, f.originsOf(e.source)) {
			straight = append(straight, place)
		}
	}
	for b, m := range f.breaks.list {
		c := f.problem.Present.Cords[i]
		brings := func(j int) bool { return j != graph.None && (slices.Contains(m.jacks, j) || f.couldBring(j, m)) }
		if slices.ContainsFunc(c[:], brings) {
			straight, all = append(straight, len(f.entries.list)+b), append(all, len(f.entries.list)+b)
		}
	}
	return straight, all
}

// originsOf are the origins of a source after all its entries.
func (f *savings) originsOf(source int) []int {
	jacks, known := f.origins[source]
	if !known {
		jacks = f.entries.origins(source, graph.None)
		f.origins[source] = jacks
	}
	return jacks
}

// couldBring says whether a cord that stays in a jack could be the one more that
// brings a source to where its cord makes a break.
func (f *savings) couldBring(j int, b breaking) bool {
	if !f.problem.Usable(j) || f.deadEnd(j) {
		return false
	}
	for s := range b.by {
		if f.mayBe(f.Jacks[j].Node, s) {
			return true
		}
	}
	return false
}

// movesTo says whether an old cord, one end of which stays in, could be that by
// which a source comes into a region.
func (f *savings) movesTo(i int, e entry) bool {
	for _, j := range f.problem.Present.Cords[i] {
		if j == graph.None || !f.problem.Usable(j) {
			continue
		}
		n := f.Jacks[j].Node
		if !f.mayBe(n, e.source) {
			continue
		}
		if e.asks[n] || !f.deadEnd(j) && (e.anywhere || e.region[n] || f.reachesRegion(i, j, e)) {
			return true
		}
	}
	return false
}

func (f *savings) reachesRegion(i, j int, e entry) bool {
	return len(e.jacks) > manyJacks || slices.ContainsFunc(e.jacks, func(k int) bool {
		return k != j && f.problem.Usable(k) && f.problem.Stock.OldReaches(i, j, k)
	})
}

// reachesBreaks says whether the free end of an old cord could make a break.
func (f *savings) reachesBreaks(i int) bool {
	for _, m := range f.breaks.list {
		for _, j := range f.problem.Present.Cords[i] {
			if j != graph.None && slices.ContainsFunc(m.jacks, func(k int) bool { return f.couldJoin(i, j, k) }) {
				return true
			}
		}
	}
	return false
}

// couldJoin says whether an old cord could be between two jacks.
func (f *savings) couldJoin(i, j, k int) bool {
	n, m := f.Jacks[j].Node, f.Jacks[k].Node
	switch {
	case j == k || !f.problem.Usable(j) || !f.problem.Stock.OldReaches(i, j, k):
		return false
	case n == m:
		return true
	case len(f.Always(n)) > 0 && len(f.Always(m)) > 0:
		return false
	}
	return !f.intrudes(n, m) && !f.intrudes(m, n) && f.feeds(j, m) && f.feeds(k, n)
}
