package bound

import (
	"slices"

	"bayhand/model/graph"
)

// breaking is a way of normals, mostly one, of which every plan breaks one, by a
// plug that is in no other count, in one of some jacks.
type breaking struct {
	jacks []int
	// by are sources of which a cord could be there only after one more cord than
	// is counted, which is two plugs; so no more than two breaks are due to one.
	by map[int]bool
}

// breaks are the normals that every plan breaks by a plug of its own.
type breaks struct {
	*graph.Graph
	*facts
	walker  *walker
	entries *entries
	list    []breaking
	counted []bool // by normal
	// used are the jacks of the breaks, detours how many of these are due to a
	// source (breaking.by).
	used    map[int]bool
	detours map[int]int
}

// longest is how many normals one after the other are looked at.
const longest = 3

// find finds the normals that would bring gear to where it must not be, that
// nothing breaks which could stay, and that no cord of an entry can break: such a
// cord carries what it is for to both its ends, and ends in no dead end that does
// not lack that. No two have a jack in common.
func (f *breaks) find() {
	for n := range f.Nodes {
		if len(f.Always(n)) > 0 {
			f.follow(n, n, nil)
		}
	}
}

// follow goes from what always drives a node, over normals, to where it must not
// be.
func (f *breaks) follow(from, at int, over []int) {
	for _, m := range f.Nodes[at].Normals {
		to := f.Jacks[f.Normals[m].A].Node + f.Jacks[f.Normals[m].B].Node - at
		if to == at || to == from || slices.Contains(over, m) {
			continue
		}
		over := append(slices.Clone(over), m)
		switch {
		case f.clashes(from, to):
			f.addBreak(over)
		case len(f.Always(to)) == 0 && len(over) < longest:
			f.follow(from, to, over)
		}
	}
}

// addBreak counts a break where no jack is one of another, and none could hold a
// plug that costs nothing more.
func (f *breaks) addBreak(over []int) {
	b := breaking{by: map[int]bool{}}
	for _, m := range over {
		for _, j := range []int{f.Normals[m].A, f.Normals[m].B} {
			if f.Normals[m].Breaks(j) && (f.used[j] || f.stays(j) || !f.freeOfEntries(j, b.by)) {
				return
			}
			if f.Normals[m].Breaks(j) {
				b.jacks = append(b.jacks, j)
			}
		}
	}
	for s := range b.by {
		if f.detours[s] == 2 {
			return
		}
	}
	if len(b.jacks) == 0 {
		return // nothing can break it: there is no plan
	}
	for s := range b.by {
		f.detours[s]++
	}
	for _, j := range b.jacks {
		f.used[j] = true
	}
	for _, m := range over {
		f.counted[m] = true
	}
	f.list = append(f.list, b)
}

// stays says whether a plug is in a jack that could stay there.
func (f *breaks) stays(j int) bool {
	return f.held[j] != holdsNothing && !(f.held[j] == holdsDummy && f.dummyGoes(j))
}

// freeOfEntries says whether the cords and leads of the entries have no plug in a jack.
// It adds the sources of which a cord could be there if one more than is counted
// brought them to it first.
func (f *breaks) freeOfEntries(j int, by map[int]bool) bool {
	n := f.Jacks[j].Node
	for _, e := range f.entries.list {
		switch {
		case !f.mayBe(n, e.source) || f.deadEnd(j) && !e.asks[n]:
		case e.anywhere || e.leads || e.asks[n] || f.comesTo(j, e.source):
			return false
		default:
			by[e.source] = true
		}
	}
	return true
}

// comesTo says whether a source could be at a jack that holds a plug, by what is
// in and by its entries alone.
func (f *breaks) comesTo(j, source int) bool {
	at, found := f.Node[f.Sources[source]], false
	f.walker.plugged = j
	f.walker.walk(f.Jacks[j].Node, source, f.walker.before, false, func(place int) bool {
		found = found || place == at || slices.ContainsFunc(f.entries.bySource[source], func(e int) bool { return f.entries.list[e].region[place] })
		return !found
	})
	f.walker.plugged = graph.None
	return found
}
