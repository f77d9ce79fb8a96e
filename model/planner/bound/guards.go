package bound

import (
	"slices"

	"bayhand/model/graph"
)

// guards are the normals that nothing breaks now, and that only a plug could break which is on no
// way of a source that is asked for: a dummy, a cord that hangs, a lead; none where only cords cost
// something. A source that comes to the
// one end of such a normal, and must not come to the other, costs that plug beside its way. From is
// the node at which it is counted, by normal; None for one that is no guard. Of two sources that
// come to both ends, one pays, since one plug breaks the normal for both.
type guards struct {
	*facts
	from []int
}

func newGuards(f *facts, b *alone) *guards {
	g := &guards{facts: f, from: slices.Repeat([]int{graph.None}, len(f.problem.Normals))}
	if f.cordsAlone {
		return g
	}
	in := map[int]bool{}
	for _, c := range f.problem.Present.Cords {
		for _, j := range c {
			in[j] = true
		}
	}
	for m := range f.problem.Normals {
		jacks := g.breaking(m)
		if len(jacks) == 0 || slices.ContainsFunc(jacks, func(j int) bool { return in[j] || slices.Contains(b.jacks, j) || !g.onlyGuards(j) }) {
			continue
		}
		g.from[m] = f.problem.Jacks[f.problem.Normals[m].A].Node
		if !g.anyMayBe(g.from[m]) {
			g.from[m] = f.problem.Jacks[f.problem.Normals[m].B].Node
		}
	}
	return g
}

// breaking are the jacks in which a plug breaks a normal.
func (g *guards) breaking(m int) []int {
	n := g.problem.Normals[m]
	return slices.DeleteFunc([]int{n.A, n.B}, func(j int) bool { return !n.Breaks(j) })
}

// onlyGuards says whether a jack is empty, and a plug in it breaks one normal and is on no way of
// a source that is asked for.
func (g *guards) onlyGuards(j int) bool {
	breaks := 0
	for _, m := range g.problem.Jacks[j].Normals {
		if g.problem.Normals[m].Breaks(j) {
			breaks++
		}
	}
	return breaks == 1 && g.held[j] == holdsNothing && !slices.ContainsFunc(g.asked(), func(s int) bool { return g.brings(s, j) })
}

// anyMayBe says whether any source that is asked for may be at a node.
func (g *guards) anyMayBe(n int) bool {
	return slices.ContainsFunc(g.asked(), func(s int) bool { return g.mayBe(n, s) })
}

// cost is what it costs that a source comes to a place, in units.
func (g *guards) cost(place, source int) int {
	if place >= len(g.problem.Nodes) {
		return 0
	}
	total := 0
	for _, m := range g.problem.Nodes[place].Normals {
		if g.from[m] == place && !g.mayBe(g.problem.Across(m, place), source) {
			total += g.toBreak
		}
	}
	return total
}
