package bound

import (
	"maps"
	"slices"

	"bayhand/model/graph"
)

// entry is a region of the room that a source must come into by a cord or lead
// that is not in now: all from which a destination could have it by what is in.
type entry struct {
	source int
	region map[int]bool // places
	// jacks are those of the region, nil where there are many.
	jacks []int
	// asks are the destinations that ask for the source and lack it; of a cord more than there
	// are regions, all that ask for it, since it may be for one that does not lack it now.
	asks map[int]bool
	// leads says that the way into a region could be a lead.
	leads bool
	// anywhere is true of a cord more than there are regions.
	anywhere bool
	// group is that of entries of which one at least is there; 0 for one that is there.
	group int
}

// entries are the regions that sources come into by a new cord or lead.
type entries struct {
	*graph.Graph
	*facts
	walker   *walker
	list     []entry
	bySource map[int][]int
	// taken are the places that are in regions, by source; groups counts those of entries.
	taken  map[int]map[int]bool
	groups int
	// pulled are dummies that stand where an entry must be.
	pulled int
}

// manyJacks is from how many jacks on the reach of cords to a region is not
// looked at.
const manyJacks = 100

// enter finds the entries of a source, and returns how many plugs are handled for
// it at least. The regions of one source have no place in common, so each has an
// entry of its own: the last new cord or lead on the way to the destination, or
// the last normal there that a dummy breaks now. A cord is two plugs; a lead one,
// which can only be that of the source or of a destination; a dummy pulled one. To
// two sources nothing of that can be common.
func (f *entries) enter(source int) int {
	at := f.Node[f.Sources[source]]
	lacking := f.lacking(at, source, false)
	leads := len(f.Nodes[at].Ports)
	for _, n := range lacking {
		leads += len(f.Nodes[n].Ports)
	}
	taken := map[int]bool{}
	f.taken[source] = taken
	regions := f.addEntries(source, lacking, leads > 0, taken)
	plugs := max(regions, 2*regions-leads) + f.mended(at, source, lacking, taken)
	if regions == 0 || leads > 0 {
		return plugs
	}
	more := 0
	displaced, ok := f.displaces(at, source, taken)
	if ok {
		more++
	}
	if f.lacksJacks(at, source, more, displaced) {
		more++
	}
	if more == 0 && f.isFar(source) {
		more++
	}
	for range more {
		f.addEntry(entry{source: source, anywhere: true, asks: setOf(f.wants[source])})
	}
	return max(plugs, 2*(regions+more))
}

// addEntries finds the regions of destinations that lack a source, and returns how
// many there are.
func (f *entries) addEntries(source int, lacking []int, leads bool, taken map[int]bool) int {
	regions := 0
	asks := setOf(lacking)
	for _, n := range lacking {
		if e, ok := f.regionOf(n, source, false, taken); ok {
			e.asks, e.leads = asks, leads
			f.addEntry(e)
			regions++
		}
	}
	return regions
}

// mended counts the regions that a source comes into by no new cord, but by a
// normal that a dummy breaks now.
func (f *entries) mended(at, source int, lacking []int, taken map[int]bool) int {
	regions := 0
	for _, n := range f.lacking(at, source, true) {
		if slices.Contains(lacking, n) {
			continue
		}
		if _, ok := f.regionOf(n, source, true, taken); ok {
			regions++
		}
	}
	return regions
}

// lacksJacks says whether the cords of the entries of a source are not enough, for
// want of jacks that they could come from: those where the source is by what is
// in, or after it has come into the regions. A jack of which the plug stands alone
// can be the end of a way only. More is how many cords there are beside, and
// displaced are the places of the regions that they come into.
func (f *entries) lacksJacks(at, source, more int, displaced []int) bool {
	entries := f.bySource[source]
	need, jacks := len(entries)+more, 0
	for _, e := range entries {
		if !slices.ContainsFunc(f.list[e].jacks, func(j int) bool { return f.problem.Usable(j) && f.noSource(j) }) {
			need++ // one of its jacks is where the cord ends
		}
	}
	starts := append([]int{at}, displaced...)
	for _, e := range entries {
		for place := range f.list[e].region {
			starts = append(starts, place)
		}
	}
	f.walker.walkAll(starts, source, f.walker.next, false, func(place int) bool {
		if place < len(f.Nodes) {
			for _, j := range f.Nodes[place].Jacks {
				if f.problem.Usable(j) && !f.noSource(j) {
					jacks++
				}
			}
		}
		return jacks < need
	})
	return jacks < need
}

// fewJacks is up to how many jacks that a source could leave from are looked at.
const fewJacks = 8

// displaces says whether a cord by which a source leaves for a region, from
// whatever jack, breaks a normal by which it comes to another destination now, so
// that this has to have a cord, too, and to a region of its own. It returns the
// places of all regions that could be that.
func (f *entries) displaces(at, source int, taken map[int]bool) (places []int, ok bool) {
	var jacks []int
	f.walker.walk(at, source, f.walker.next, false, func(place int) bool {
		if place < len(f.Nodes) {
			for _, j := range f.Nodes[place].Jacks {
				if f.problem.Usable(j) && !f.noSource(j) {
					jacks = append(jacks, j)
				}
			}
		}
		return len(jacks) <= fewJacks
	})
	if len(jacks) > fewJacks {
		return nil, false
	}
	defer func() { f.walker.plugged = graph.None }()
	for _, j := range jacks {
		f.walker.plugged = j
		lost := f.lacking(at, source, false)
		if f.walker.seen[f.Jacks[j].Node] != f.walker.walks {
			continue // it does not come to the jack while a plug is in
		}
		found := false
		for _, n := range lost {
			if f.lacks(source, n) || len(f.Nodes[n].Ports) > 0 {
				continue
			}
			if e, ok := f.regionOf(n, source, false, maps.Clone(taken)); ok {
				found = true
				places = append(places, slices.Collect(maps.Keys(e.region))...)
			}
		}
		if !found {
			return nil, false
		}
	}
	return places, true
}

// lacks says whether a node is among those that lack a source in any case.
func (f *entries) lacks(source, n int) bool {
	return slices.ContainsFunc(f.bySource[source], func(e int) bool { return !f.list[e].anywhere && f.list[e].asks[n] })
}

func setOf(nodes []int) map[int]bool {
	set := map[int]bool{}
	for _, n := range nodes {
		set[n] = true
	}
	return set
}

// lacking are the nodes that ask for a source and do not get it by what is in.
func (f *entries) lacking(at, source int, shut bool) []int {
	f.walker.walk(at, source, f.walker.next, shut, func(int) bool { return true })
	var nodes []int
	for _, n := range f.wants[source] {
		if f.walker.seen[n] != f.walker.walks {
			nodes = append(nodes, n)
		}
	}
	return nodes
}

// regionOf is the region from which a node could have a source; ok is false where
// it has a place in common with those that are taken.
func (f *entries) regionOf(n, source int, shut bool, taken map[int]bool) (e entry, ok bool) {
	e = entry{source: source, region: map[int]bool{}}
	ok = true
	f.walker.walk(n, source, f.walker.before, shut, func(place int) bool {
		ok = ok && !taken[place]
		e.region[place] = true
		return ok
	})
	if !ok {
		return e, false
	}
	for place := range e.region {
		taken[place] = true
		if place < len(f.Nodes) && len(f.Always(place)) == 0 {
			e.jacks = append(e.jacks, f.Nodes[place].Jacks...)
		}
	}
	slices.Sort(e.jacks)
	return e, true
}

func (f *entries) addEntry(e entry) {
	f.bySource[e.source] = append(f.bySource[e.source], len(f.list))
	f.list = append(f.list, e)
	if f.blocked(e) {
		f.pulled++
	}
}

// addGroup adds entries of which one at least is there.
func (f *entries) addGroup(group []entry) {
	f.groups++
	for _, e := range group {
		e.group = f.groups
		f.bySource[e.source] = append(f.bySource[e.source], len(f.list))
		f.list = append(f.list, e)
	}
}

// place is the number of an entry, for those of one group that of the first.
func (f *entries) place(at int) int {
	g := f.list[at].group
	if g == 0 {
		return at
	}
	return slices.IndexFunc(f.list, func(e entry) bool { return e.group == g })
}

// blocked says whether there is a dummy in every jack by which a region could be
// entered; they are of one node, so that no other source could come there too.
func (f *entries) blocked(e entry) bool {
	found := false
	node := graph.None
	for place := range e.region {
		if place < len(f.Nodes) && len(f.Nodes[place].Ports) > 0 {
			return false
		}
	}
	for _, j := range e.jacks {
		if !f.problem.Usable(j) {
			continue
		}
		if f.held[j] != holdsDummy || f.dummyGoes(j) || node != graph.None && f.Jacks[j].Node != node {
			return false
		}
		node, found = f.Jacks[j].Node, true
	}
	return found
}
