package bound

import (
	"slices"

	"bayhand/model/graph"
)

// network is all ways of one source to the destinations that ask for it, as arcs between
// vertices: places, and cords that begin at one place and end at any of a zone of the front.
type network struct {
	source, root int
	asks, ends   []int // nodes that ask for it, and their vertices
	arcs         []arc
	into, out    [][]int32 // arcs, by vertex
	places       []int     // by vertex; None for a vertex at which cords begin or wants are left out
	// near is what a way from the root to a vertex costs at least, as long as prices fall by little;
	// nearAt which of these times it is of.
	near   []int
	nearAt int
	// together are the vertices at which cords from several jacks begin.
	together map[int]bool
	// leaves is the arc of an old cord from the root that is pulled where no way goes by it; None for none.
	leaves int
	trunk  trunk
}

// arc is a step of a signal's way.
type arc struct {
	from, to int32
	// cost is what it costs in any case, in units; uses are the things that it takes.
	cost int32
	uses [4]int32
	// kind is the shortest kind of cord that it could be.
	kind int32
}

// networks makes those of sources.
type networks struct {
	*graph.Graph
	*facts
	walker *walker
	zones  *zones
	things things
	olds   *olds
	guards *guards
	// alone are sources with jacks whose new cords are told apart from those of other jacks of
	// the zone.
	alone  map[[2]int]bool
	vertex []int // by place, of the network that is made
	of     *network
}

// make makes the network of a source, with new cords or without.
func (f *networks) make(source int, cords bool) *network {
	f.of = &network{source: source, together: map[int]bool{}, leaves: graph.None}
	at := f.Node[f.Sources[source]]
	f.vertex = slices.Repeat([]int{graph.None}, len(f.walker.next))
	f.of.root = f.at(at)
	starts := []int{at}
	if cords {
		starts = append(starts, f.addCords(at)...)
	}
	f.addAllFree(starts, at)
	f.of.asks = f.asks(source)
	for _, n := range f.of.asks {
		f.of.ends = append(f.of.ends, f.at(n))
	}
	if f.left > 0 {
		f.addLeftOut()
	}
	f.of.out = make([][]int32, len(f.of.into))
	for i, a := range f.of.arcs {
		f.of.into[a.to] = append(f.of.into[a.to], int32(i))
		f.of.out[a.from] = append(f.of.out[a.from], int32(i))
	}
	return f.of
}

// asks are the nodes that ask for a source, each once: none that has it anyhow, or may have it by a lead.
func (f *facts) asks(source int) []int {
	var nodes []int
	for _, n := range f.wants[source] {
		if n != f.problem.Node[f.problem.Sources[source]] && len(f.problem.Nodes[n].Ports) == 0 && !slices.Contains(nodes, n) {
			nodes = append(nodes, n)
		}
	}
	return nodes
}

func (f *networks) at(place int) int {
	if f.vertex[place] == graph.None {
		f.vertex[place] = f.add()
		f.of.places[f.vertex[place]] = place
	}
	return f.vertex[place]
}

func (f *networks) add() int {
	f.of.into, f.of.places = append(f.of.into, nil), append(f.of.places, graph.None)
	return len(f.of.into) - 1
}

// addArc adds an arc that uses some things.
func (f *networks) addArc(from, to, cost, kind int, uses ...int) {
	a := arc{int32(from), int32(to), int32(cost), [4]int32{none, none, none, none}, int32(kind)}
	for i, u := range uses {
		a.uses[i] = int32(u)
	}
	f.of.arcs = append(f.of.arcs, a)
}

// addAllFree adds the ways from some places, and from all places that these lead to.
func (f *networks) addAllFree(starts []int, root int) {
	f.walker.walkAll(starts, f.of.source, f.walker.next, false, func(place int) bool {
		f.addFree(place, root)
		return true
	})
}

// addFree adds the ways from a place that take no new plug; by a normal that a dummy breaks
// now, one has to be pulled.
func (f *networks) addFree(place, root int) {
	for _, w := range f.walker.next[place] {
		if w.to == root || !f.mayBe(w.to, f.of.source) {
			continue
		}
		cost, kind := f.guards.cost(w.to, f.of.source), graph.None
		if w.brokenByDummy {
			cost += unit
		}
		if w.cord != graph.None && !f.problem.Stock.Unlimited {
			kind = f.problem.Stock.Old[w.cord]
		}
		if place == root && f.olds.keeps(w.cord, root) {
			f.of.leaves = len(f.of.arcs)
		}
		f.addArc(f.at(place), f.at(w.to), cost, kind, f.usedBy(w)...)
	}
}

// usedBy are the things that a way takes: the node that it leads to, the jacks of a cord, and
// those of a normal in which no plug may be.
func (f *networks) usedBy(w way) []int {
	var uses []int
	if w.to < len(f.Nodes) && !f.olds.keeps(w.cord, w.to) {
		uses = append(uses, w.to)
	}
	if w.cord != graph.None {
		c := f.problem.Present.Cords[w.cord]
		return append(uses, f.things.jack(c[0]), f.things.jack(c[1]))
	}
	for _, j := range w.breaks {
		if j != graph.None && f.breaksOne(j) {
			uses = append(uses, f.things.jack(j))
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

// shared are the jacks at which more than one cord begins in the ways of a source.
func (n *network) shared(t things) []int {
	jack, from, ends := map[int32]int{}, map[int32]int32{}, map[int32]int{}
	for _, i := range n.trunk.all {
		a := &n.arcs[i]
		switch {
		case n.together[int(a.to)]:
			jack[a.to] = int(a.uses[0]) - t.nodes
		case n.together[int(a.from)]:
			from[a.to] = a.from
		}
	}
	for _, i := range n.trunk.all {
		if v, found := from[n.arcs[i].from]; found {
			ends[v]++
		}
	}
	var jacks []int
	for v, count := range ends {
		if count > 1 {
			jacks = append(jacks, jack[v])
		}
	}
	slices.Sort(jacks)
	return jacks
}
