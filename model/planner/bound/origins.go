package bound

import (
	"maps"
	"slices"

	"bayhand/model/graph"
)

// origins are the jacks that a source could go on from: where it is by what is in, or
// once it has come into its regions, those of one entry left out; none for graph.None.
func (f *entries) origins(source, without int) []int {
	starts := []int{f.Node[f.Sources[source]]}
	for _, e := range f.bySource[source] {
		if e != without {
			starts = slices.AppendSeq(starts, maps.Keys(f.list[e].region))
		}
	}
	var jacks []int
	f.walker.walkAll(starts, source, f.walker.next, false, func(place int) bool {
		if place < len(f.Nodes) {
			jacks = append(jacks, f.leavable(place)...)
		}
		return true
	})
	slices.Sort(jacks)
	return slices.Compact(jacks)
}

// leavable are the jacks of a node by which a signal there could be taken elsewhere.
func (f *entries) leavable(n int) []int {
	return slices.DeleteFunc(slices.Clone(f.Nodes[n].Jacks), func(j int) bool { return !f.problem.Usable(j) || f.noSource(j) })
}

// isFar says whether no cord that is owned goes from where a source is, or comes by its
// other entries, into the region of one of them, so that it has to have one more.
func (f *entries) isFar(source int) bool {
	return slices.ContainsFunc(f.bySource[source], func(at int) bool {
		e := f.list[at]
		if e.anywhere || e.leads {
			return false
		}
		from := f.origins(source, at)
		return !slices.ContainsFunc(e.jacks, func(j int) bool {
			return f.problem.Usable(j) && slices.ContainsFunc(from, func(k int) bool { return k != j && f.problem.Stock.Any(j, k) })
		})
	})
}

// movesStraight says whether an old cord, one end of which stays in, could be that by
// which a source comes into a region from one of its origins.
func (f *savings) movesStraight(i int, e entry, origins []int) bool {
	for _, j := range f.problem.Present.Cords[i] {
		if j == graph.None || !f.problem.Usable(j) {
			continue
		}
		n := f.Jacks[j].Node
		if !f.mayBe(n, e.source) || f.deadEnd(j) && !e.asks[n] {
			continue
		}
		reaches := func(k int) bool { return k != j && f.problem.Usable(k) && f.problem.Stock.OldReaches(i, j, k) }
		if (e.region[n] || e.asks[n]) && slices.ContainsFunc(origins, reaches) {
			return true
		}
		if _, leaves := slices.BinarySearch(origins, j); leaves && slices.ContainsFunc(e.jacks, reaches) {
			return true
		}
	}
	return false
}
