package bound

import (
	"slices"

	"bayhand/model/graph"
)

// staying finds cords of the present patch that stay for one destination or one source alone.
type staying struct {
	*facts
	walker *walker
}

// nodeFor is the node of a destination or a source for which alone a cord of the present patch stays,
// and that could do without it and a new plug; None for none, and where prices are held to no plan.
func (f *staying) nodeFor(cord int) int {
	if !f.pricesHeld {
		return graph.None
	}
	if n := f.spared(cord); n != graph.None {
		return n
	}
	return f.forsaken(cord)
}

// spared is the node of a destination to which a cord of the present patch is the only way
// while it stays, and that could have what it asks for without a new plug once it is gone; None for none.
func (f *staying) spared(cord int) int {
	for _, j := range f.problem.Present.Cords[cord] {
		if n := f.problem.Jacks[j].Node; f.problem.EndsAt(j) && f.comesWithout(cord, n) {
			return n
		}
	}
	return graph.None
}

// comesWithout says whether a node could have what it asks for without a cord, and all inputs there
// have it at the node alone.
func (f *staying) comesWithout(cord, n int) bool {
	asked, at := f.sourcesFor[n], &f.problem.Nodes[n]
	if len(asked) == 0 || len(at.Ports) > 0 || f.overridden(n) {
		return false
	}
	return f.comes(cord, n, asked[0])
}

// comes says whether a source could come to a node without a cord and without a new plug.
func (f *staying) comes(cord, n, source int) bool {
	root, found := f.problem.Node[f.problem.Sources[source]], false
	f.walker.out = cord
	f.walker.walk(n, source, f.walker.before, false, func(place int) bool {
		found = found || place == root
		return !found
	})
	f.walker.out = graph.None
	return found
}

// forsaken is the node of a source that a cord of the present patch takes from its only jack, though
// all that ask for it could have it without that cord and without a new plug; None for none. In a plan the
// source goes by the cord to one of them, or the cord is pulled.
func (f *staying) forsaken(cord int) int {
	for _, j := range f.problem.Present.Cords[cord] {
		n := f.problem.Jacks[j].Node
		at := &f.problem.Nodes[n]
		if len(at.Sources) != 1 || len(at.Jacks) != 1 || len(at.Ports) > 0 || f.problem.AsksForWays() {
			continue
		}
		s := at.Sources[0]
		needs := func(n int) bool { return len(f.problem.Nodes[n].Ports) > 0 || !f.comes(cord, n, s) }
		if len(f.wants[s]) > 0 && !slices.ContainsFunc(f.wants[s], needs) {
			return n
		}
	}
	return graph.None
}
