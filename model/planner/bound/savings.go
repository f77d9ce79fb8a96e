package bound

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/matching"
)

// savings are plugs that are counted twice where a cord of the present patch becomes
// one that is counted.
type savings struct {
	*graph.Graph
	*facts
	entries *entries
	breaks  *breaks
}

// most is how many of the plugs counted are saved at most because cords of the
// present patch become new ones or are left hanging. Each does one of that: first
// those that save two.
func (f *savings) most() int {
	two := make([][]int, len(f.gone)) // entries, then breaks
	hang, half, one := 0, 0, 0
	for g, i := range f.gone {
		two[g] = f.becomes(i)
		switch {
		case f.hangs(i):
			hang++
		case f.reachesBreaks(i):
			half++
		}
	}
	twos := matching.Most(two, len(f.entries.list)+len(f.breaks.list))
	one = min(len(f.gone)-twos, hang+min(half, len(f.breaks.list)))
	// What hangs, and could stay, has one plug in already.
	for i, c := range f.problem.Present.Cords {
		if c[1] == graph.None && !f.isGone[i] && len(f.becomes(i)) > 0 {
			one++
		}
	}
	return 2*twos + one
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
	case len(f.Nodes[o].Sources) > 0:
		return f.deadEnd(j) && !f.passesOn(n)
	case len(f.Nodes[n].Sources) > 0:
		return f.problem.OnlyByNormal(f.Normals[m], other, j) && !f.problem.Amplified(o) && !f.passesOn(o)
	}
	return false
}

// becomes are the entries that an old cord could be moved to, and after them the
// breaks that it could be left hanging for.
func (f *savings) becomes(i int) []int {
	var found []int
	for e := range f.entries.list {
		if f.movesTo(i, f.entries.list[e]) {
			found = append(found, e)
		}
	}
	for b, m := range f.breaks.list {
		c := f.problem.Present.Cords[i]
		if slices.ContainsFunc(c[:], func(j int) bool { return j != graph.None && f.couldBring(j, m) }) {
			found = append(found, len(f.entries.list)+b)
			continue
		}
		if slices.Contains(m.jacks, c[0]) || c[1] != graph.None && slices.Contains(m.jacks, c[1]) {
			found = append(found, len(f.entries.list)+b)
		}
	}
	return found
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
