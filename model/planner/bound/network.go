package bound

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/measure"
	"bayhand/model/studio"
)

// network is all ways of one source to the destinations that ask for it, as arcs between
// vertices: places, and cords from one zone of the front to another.
type network struct {
	source, root int
	ends         []int // vertices
	arcs         []arc
	into         [][]int32 // arcs, by vertex
	price        []int     // by arc, as it is now
	tree         []int     // arcs of the cheapest ways
	free         bool      // that they cost nothing
	barred       bool      // that there is no way to an end
}

// arc is a step of a signal's way.
type arc struct {
	from, to int32
	// cost is what it costs in any case, in units; uses are the things that it takes.
	cost int32
	uses [3]int32
	// kind is the shortest kind of cord that it could be, old the cord that it is made of.
	kind, old int32
}

// networks makes those of sources.
type networks struct {
	*graph.Graph
	*facts
	walker *walker
	zones  *zones
	prices *prices
	olds   *olds
	vertex []int // by place, of the network that is made
	of     *network
}

// make makes the network of a source, with new cords or without.
func (f *networks) make(source int, cords bool) *network {
	f.of = &network{source: source}
	at := f.Node[f.Sources[source]]
	f.vertex = slices.Repeat([]int{graph.None}, len(f.walker.next))
	f.of.root = f.at(at)
	for place := range f.walker.next {
		f.addFree(place, at)
	}
	if cords {
		f.addCords(at)
	}
	for _, n := range f.wants[source] {
		if n != at && len(f.Nodes[n].Ports) == 0 && !slices.Contains(f.of.ends, f.at(n)) {
			f.of.ends = append(f.of.ends, f.at(n))
		}
	}
	for i, a := range f.of.arcs {
		f.of.into[a.to] = append(f.of.into[a.to], int32(i))
	}
	f.of.price = make([]int, len(f.of.arcs))
	return f.of
}

func (f *networks) at(place int) int {
	if f.vertex[place] == graph.None {
		f.vertex[place] = f.add()
	}
	return f.vertex[place]
}

func (f *networks) add() int {
	f.of.into = append(f.of.into, nil)
	return len(f.of.into) - 1
}

// addArc adds an arc that uses some things.
func (f *networks) addArc(from, to, cost, kind, old int, uses ...int) {
	a := arc{int32(from), int32(to), int32(cost), [3]int32{none, none, none}, int32(kind), int32(old)}
	for i, u := range uses {
		a.uses[i] = int32(u)
	}
	f.of.arcs = append(f.of.arcs, a)
}

// addFree adds the ways from a place that take no new plug; by a normal that a dummy breaks
// now, one has to be pulled.
func (f *networks) addFree(place, root int) {
	if !f.mayBe(place, f.of.source) {
		return
	}
	for _, w := range f.walker.next[place] {
		if w.to == root || !f.mayBe(w.to, f.of.source) {
			continue
		}
		cost, kind := 0, graph.None
		if w.brokenByDummy {
			cost = unit
		}
		if w.cord != graph.None && !f.problem.Stock.Unlimited {
			kind = f.problem.Stock.Old[w.cord]
		}
		f.addArc(f.at(place), f.at(w.to), cost, kind, graph.None, f.usedBy(w)...)
	}
}

// usedBy are the things that a way takes: the node that it leads to, the jacks of a cord, and
// those of a normal in which no plug may be.
func (f *networks) usedBy(w way) []int {
	var uses []int
	if w.to < len(f.Nodes) {
		uses = append(uses, w.to)
	}
	if w.cord != graph.None {
		c := f.problem.Present.Cords[w.cord]
		return append(uses, f.prices.jack(c[0]), f.prices.jack(c[1]))
	}
	for _, j := range w.breaks {
		if j != graph.None && f.breaksOne(j) {
			uses = append(uses, f.prices.jack(j))
		}
	}
	return uses
}

// breaksOne says whether a plug in a jack breaks one normal and no more: two that hold need no
// more than one jack without a plug.
func (f *networks) breaksOne(j int) bool {
	count := 0
	for _, m := range f.Jacks[j].Normals {
		if f.Normals[m].Breaks(j) {
			count++
		}
	}
	return count == 1
}

// brings says whether a new cord could bring a source to a jack on its way to a destination,
// or take it from there.
func (f *facts) brings(source, j int) bool {
	n := f.problem.Jacks[j].Node
	if !f.problem.Usable(j) || f.problem.Jacks[j].Socket || !f.mayBe(n, source) {
		return false
	}
	return !f.deadEnd(j) || slices.Contains(f.wants[source], n)
}

func (f *networks) addCords(root int) {
	outs, ins := make([][]int, f.zones.count), make([][]int, f.zones.count)
	for j := range f.Jacks {
		if !f.brings(f.of.source, j) {
			continue
		}
		n, z := f.Jacks[j].Node, f.zones.of[j]
		if !f.noSource(j) {
			outs[z] = append(outs[z], j)
		}
		if n != root && len(f.Always(n)) == 0 {
			ins[z] = append(ins[z], j)
		}
	}
	for a := range outs {
		for b := range ins {
			if need := f.zones.need[a][b]; need < beyond && len(outs[a]) > 0 && len(ins[b]) > 0 {
				f.addZoned(outs[a], ins[b], need)
			}
		}
	}
}

// addZoned adds the new cords from some jacks to some others, in two lots: those of which the
// end that the signal comes from was that of an old cord, and all others.
func (f *networks) addZoned(outs, ins []int, need measure.Length) {
	kind := f.kind(need)
	fresh, made := f.add(), f.add()
	for _, j := range outs {
		at, jack := f.at(f.Jacks[j].Node), f.prices.jack(j)
		f.addArc(at, fresh, 0, kind, graph.None, jack)
		for _, g := range f.madeOf(j, need) {
			f.addArc(at, made, 2*unit, kind, g, jack)
		}
	}
	for _, j := range ins {
		n := f.Jacks[j].Node
		at, jack := f.at(n), f.prices.jack(j)
		f.addArc(made, at, 0, graph.None, graph.None, n, jack)
		f.addArc(fresh, at, 2*unit, graph.None, graph.None, n, jack)
		for _, g := range f.madeOf(j, need) {
			f.addArc(fresh, at, 2*unit, graph.None, g, n, jack)
		}
	}
}

// kind is the first kind of cord that is long enough; None where the stock has no end.
func (f *networks) kind(need measure.Length) int {
	if f.problem.Stock.Unlimited {
		return graph.None
	}
	return slices.IndexFunc(f.problem.Stock.Kinds, func(k studio.StockCord) bool { return k.Length >= need })
}

// madeOf are the old cords in a jack that are long enough.
func (f *networks) madeOf(j int, need measure.Length) []int {
	s := &f.problem.Stock
	return slices.DeleteFunc(slices.Clone(f.olds.in[j]), func(g int) bool {
		return !s.Unlimited && s.Kinds[s.Old[f.olds.cords[g]]].Length < need
	})
}
