package bound

import (
	"maps"
	"slices"

	"bayhand/model/graph"
)

// eithers finds destinations that have a source only if a cord that is in goes, which breaks
// a normal on the way. Where another destination hears what it asks for by that cord alone,
// one of both has an entry: of the one by a new cord while the other stays, or of the other
// once its cord is gone. That is two plugs in either case; a cord that goes costs two, and
// saves no more than that.
type eithers struct {
	in *entries
	// used are the cords of the present patch that are in one of these.
	used map[int]bool
}

// find finds them. No two have a region, or a cord, in common.
func (f *eithers) find() {
	for _, s := range f.in.asked() {
		at := f.in.Node[f.in.Sources[s]]
		if len(f.in.Nodes[at].Ports) > 0 || f.roams(s) {
			continue
		}
		open := f.in.lacking(at, s, false)
		f.in.walker.keepsCords = true
		kept := f.in.lacking(at, s, false)
		f.in.walker.keepsCords = false
		for _, n := range kept {
			if !slices.Contains(open, n) && len(f.in.Nodes[n].Ports) == 0 {
				f.addEither(s, n)
			}
		}
	}
}

// roams says whether a cord of a source is counted of which it is not known where it goes.
func (f *eithers) roams(source int) bool {
	return slices.ContainsFunc(f.in.bySource[source], func(e int) bool { return f.in.list[e].anywhere })
}

// addEither counts one where each cord that could go instead has an entry of its own.
func (f *eithers) addEither(source, n int) {
	f.in.walker.keepsCords = true
	taken := maps.Clone(f.in.taken[source])
	e, ok := f.in.regionOf(n, source, false, taken)
	f.in.walker.keepsCords = false
	if !ok {
		return
	}
	e.asks = map[int]bool{n: true}
	group := []entry{e}
	marked := map[int]map[int]bool{source: taken}
	cords := f.into(e, source)
	for _, c := range cords {
		instead, ok := f.without(c, marked)
		if !ok {
			return
		}
		group = append(group, instead)
	}
	maps.Copy(f.in.taken, marked)
	for _, c := range cords {
		f.used[c] = true
	}
	f.in.addGroup(group)
}

// into are the cords that break a normal which leads into a region.
func (f *eithers) into(e entry, source int) []int {
	var cords []int
	for place := range e.region {
		for _, w := range f.in.walker.before[place] {
			if e.region[w.to] || !f.in.mayBe(w.to, source) {
				continue
			}
			for _, j := range w.breaks {
				if c := f.in.walker.cordIn(j); c != graph.None && !slices.Contains(cords, c) {
					cords = append(cords, c)
				}
			}
		}
	}
	slices.Sort(cords)
	return cords
}

// without is the entry of a want that only a cord of the present patch fulfils, once that
// is gone. It marks the region.
func (f *eithers) without(c int, marked map[int]map[int]bool) (e entry, ok bool) {
	if f.used[c] {
		return e, false
	}
	f.in.walker.out = c
	defer func() { f.in.walker.out = graph.None }()
	for _, s := range f.in.asked() {
		at := f.in.Node[f.in.Sources[s]]
		if len(f.in.Nodes[at].Ports) > 0 || f.roams(s) {
			continue
		}
		for _, n := range f.losing(at, s, c) {
			taken := maps.Clone(f.in.taken[s])
			if marked[s] != nil {
				taken = maps.Clone(marked[s])
			}
			if e, ok = f.in.regionOf(n, s, false, taken); ok {
				e.asks = map[int]bool{n: true}
				marked[s] = taken
				return e, true
			}
		}
	}
	return e, false
}

// losing are the nodes that lack a source only without a cord.
func (f *eithers) losing(at, source, c int) []int {
	less := f.in.lacking(at, source, false)
	if len(less) == 0 {
		return nil
	}
	f.in.walker.out = graph.None
	full := f.in.lacking(at, source, false)
	f.in.walker.out = c
	return slices.DeleteFunc(less, func(n int) bool { return slices.Contains(full, n) || len(f.in.Nodes[n].Ports) > 0 })
}
