package bound

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/matching"
)

// inNoPlan says whether a cord of the present patch can be in no plan as it is: it
// would join two outputs, or bring gear to where it must not be heard; or, where
// what is needed for nothing is not left in, it breaks nothing that matters and
// carries nothing that is asked for, or that to a dead end which does not ask.
func (f *floorer) inNoPlan(c [2]int) bool {
	if c[1] == graph.None {
		return !f.problem.Options.LeaveCords && !(f.problem.Usable(c[0]) && f.problem.Guards(c[0]))
	}
	n, m := f.Jacks[c[0]].Node, f.Jacks[c[1]].Node
	switch {
	case n == m:
		return !f.problem.Options.LeaveCords && !f.couldGuard(c)
	case len(f.Always(n)) > 0 && len(f.Always(m)) > 0:
		return true
	}
	return f.intrudes(n, m) || f.intrudes(m, n) || !f.problem.Options.LeaveCords && !f.couldGuard(c) && !f.couldCarry(c)
}

// intrudes says whether gear that drives a node would be heard at another where it
// must not.
func (f *floorer) intrudes(n, m int) bool {
	for _, s := range f.Nodes[n].Sources {
		if !f.bears(m, s) {
			return true
		}
	}
	return false
}

func (f *floorer) couldGuard(c [2]int) bool {
	return f.problem.Usable(c[0]) && f.problem.Usable(c[1]) && (f.problem.Guards(c[0]) || f.problem.Guards(c[1]))
}

func (f *floorer) couldCarry(c [2]int) bool {
	if !f.problem.Usable(c[0]) || !f.problem.Usable(c[1]) {
		return false
	}
	i, j := c[0], c[1]
	a, b := f.Always(f.Jacks[i].Node), f.Always(f.Jacks[j].Node)
	switch {
	case len(a) > 0:
		return f.problem.Useful(a[0]) && f.couldServe(j, a[0])
	case len(b) > 0:
		return f.problem.Useful(b[0]) && f.couldServe(i, b[0])
	}
	return !(f.deadEnd(i) && f.deadEnd(j))
}

// couldServe says whether a driver that comes to a jack could be of use there.
func (f *floorer) couldServe(j, driver int) bool {
	s, isSource := f.SourceAt(driver)
	return !f.deadEnd(j) || !isSource || slices.Contains(f.wants[s], f.Jacks[j].Node)
}

// deadEnd says whether a signal that a plug brings to a jack goes no further, and
// none comes there that the plug could take elsewhere.
func (f *floorer) deadEnd(j int) bool {
	return f.noSource(j) && !f.problem.Amplified(f.Jacks[j].Node)
}

// noSource says whether no signal that a plug could take elsewhere comes to a jack.
func (f *floorer) noSource(j int) bool {
	return f.problem.EndsAt(j) && (!f.problem.Options.LeaveCords || len(f.Nodes[f.Jacks[j].Node].Jacks) == 1)
}

// saved is how many of the plugs counted are saved at most because cords of the
// present patch become new ones or are left hanging. Each does one of that: first
// those that save two.
func (f *floorer) saved() int {
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
	twos := matching.Most(two, len(f.entries)+len(f.breaks))
	one = min(len(f.gone)-twos, hang+min(half, len(f.breaks)))
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
func (f *floorer) hangs(i int) bool {
	c := f.problem.Present.Cords[i]
	return c[1] != graph.None && (f.hangsFrom(c[0]) || f.hangsFrom(c[1]))
}

func (f *floorer) hangsFrom(j int) bool {
	n := f.Jacks[j].Node
	if !f.problem.Usable(j) || f.Nodes[n].Mic || !f.problem.Stock.AnyHangs(j) || f.noSource(j) && len(f.sourcesFor[n]) > 0 {
		return false
	}
	return f.problem.Options.LeaveCords || slices.ContainsFunc(f.Jacks[j].Normals, func(m int) bool {
		return f.Normals[m].Breaks(j) && f.problem.WorthBreaking(f.Normals[m], j) && !f.counted[m] && !f.harmless(m, j)
	})
}

// harmless says whether a normal that a plug breaks which leads nowhere could do
// no harm, or the plug only good: gear comes by it to where it may be, and nothing
// else could come there without the plug.
func (f *floorer) harmless(m, j int) bool {
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

// passesOn says whether an input at a node passes on what it hears.
func (f *floorer) passesOn(n int) bool {
	return slices.ContainsFunc(f.Nodes[n].Inputs, func(in int) bool { return f.problem.Listens[in] })
}

// becomes are the entries that an old cord could be moved to, and after them the
// breaks that it could be left hanging for.
func (f *floorer) becomes(i int) []int {
	var found []int
	for e := range f.entries {
		if f.movesTo(i, f.entries[e]) {
			found = append(found, e)
		}
	}
	for b, m := range f.breaks {
		c := f.problem.Present.Cords[i]
		if slices.ContainsFunc(c[:], func(j int) bool { return j != graph.None && f.couldBring(j, m) }) {
			found = append(found, len(f.entries)+b)
			continue
		}
		if slices.Contains(m.jacks, c[0]) || c[1] != graph.None && slices.Contains(m.jacks, c[1]) {
			found = append(found, len(f.entries)+b)
		}
	}
	return found
}

// couldBring says whether a cord that stays in a jack could be the one more that
// brings a source to where its cord makes a break.
func (f *floorer) couldBring(j int, b breaking) bool {
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
func (f *floorer) movesTo(i int, e entry) bool {
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

func (f *floorer) reachesRegion(i, j int, e entry) bool {
	return len(e.jacks) > manyJacks || slices.ContainsFunc(e.jacks, func(k int) bool {
		return k != j && f.problem.Usable(k) && f.problem.Stock.OldReaches(i, j, k)
	})
}

// reachesBreaks says whether the free end of an old cord could make a break.
func (f *floorer) reachesBreaks(i int) bool {
	for _, m := range f.breaks {
		for _, j := range f.problem.Present.Cords[i] {
			if j != graph.None && slices.ContainsFunc(m.jacks, func(k int) bool { return f.couldJoin(i, j, k) }) {
				return true
			}
		}
	}
	return false
}

// couldJoin says whether an old cord could be between two jacks.
func (f *floorer) couldJoin(i, j, k int) bool {
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

// feeds says whether a node could have what is asked for at a jack of which the
// plug is the only way.
func (f *floorer) feeds(j, from int) bool {
	return !f.noSource(j) || !slices.ContainsFunc(f.sourcesFor[f.Jacks[j].Node], func(s int) bool { return !f.mayBe(from, s) })
}
