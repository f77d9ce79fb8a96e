package bound

import (
	"cmp"
	"maps"
	"slices"

	"bayhand/model/graph"
)

// Draft is a patch that gives most of what is asked, with few new cords: each source in turn has
// its cheapest ways at the prices of the bound, by what those before it left. (Prices of a
// relaxation lead to good plans: Beasley 1990, "A Lagrangian heuristic for set-covering
// problems", from memory.) Some of what is asked may lack, and some come to where it must not. Kept are
// sources that have the ways of a plan; of the others some come first, and the rest in the order of
// what their ways cost. A draft takes about as long as one to three rounds of the search for prices.
// False where there are no prices.
func (r *Raised) Draft(plan graph.Patch, kept, first []int) (graph.Patch, bool) {
	if r.ascent == nil {
		return graph.Patch{}, false
	}
	a := r.ascent
	reset := func() { a.prices.set(func(i int) int { return r.prices[i] }) }
	reset()
	defer reset() // margins go by them
	if r.nets == nil {
		a.leasts.renew(a.prices, a.limits, 0)
		r.nets = slices.Clone(a.nets)
		for _, s := range slices.Sorted(maps.Keys(a.asleep)) {
			r.nets = append(r.nets, a.networks.make(s, false))
		}
		costs := map[*network]int{}
		for _, n := range r.nets {
			costs[n] = a.reckon(n)
		}
		slices.SortStableFunc(r.nets, func(n, m *network) int { return cmp.Compare(costs[n], costs[m]) })
	}
	d := newDraft(a)
	d.keep(plan, kept)
	for _, one := range []bool{true, false} {
		for _, n := range r.nets {
			if slices.Contains(first, n.source) == one && !slices.Contains(kept, n.source) {
				d.take(n)
			}
		}
	}
	return d.patch(), true
}

// keep takes the ways that some sources have in a plan.
func (d *draft) keep(plan graph.Patch, sources []int) {
	if len(sources) == 0 {
		return
	}
	for _, p := range graph.Without(d.ascent.problem.Present.Parts(), plan.Parts()) {
		for _, j := range p.Jacks() {
			if d.plugs[j] == p {
				d.unplug(j) // it could stand in their way
			}
		}
	}
	state := d.ascent.problem.State(plan)
	theirs := func(n int) bool {
		return slices.ContainsFunc(state.HeardOn(state.NetOf(n)), func(s int) bool { return slices.Contains(sources, s) })
	}
	for n := range d.ascent.problem.Nodes {
		if theirs(n) {
			d.left[n] = min(d.left[n], 0)
		}
	}
	for _, c := range plan.Cords {
		if !theirs(d.ascent.problem.Jacks[c[0]].Node) {
			continue
		}
		for _, j := range c {
			if j != graph.None {
				d.unplug(j)
				d.fresh[j] = true
				d.left[d.ascent.prices.things.jack(j)] = 0
			}
		}
		d.put(graph.Part{Kind: graph.Cord, A: c[0], B: c[1]})
	}
	for _, p := range plan.Parts() {
		if j := p.Jacks(); len(j) == 1 && d.plugs[j[0]].Kind == 0 {
			d.put(p) // which guards something, or brings it
		}
	}
	for o := range d.ascent.problem.Outputs {
		if theirs(d.ascent.problem.Outputs[o].Node) {
			d.closed[o] = slices.Clone(state.Behind(o))
		}
	}
}

// draft is a patch while it is made of the ways of sources.
type draft struct {
	ascent *ascent
	left   []int // by thing, how many of it are not used
	// plugs are what is in each jack, fresh the jacks of cords that were put in.
	plugs map[int]graph.Part
	fresh map[int]bool
	// closed are the crosspoints of each output, outputs these by node.
	closed  map[int][]int
	outputs map[int]int
	// net is the network of the source at hand, at the vertices that it came to.
	net *network
	at  map[int32]begun
}

func newDraft(a *ascent) *draft {
	d := &draft{ascent: a, left: slices.Clone(a.limits.most), plugs: map[int]graph.Part{}, fresh: map[int]bool{}, closed: map[int][]int{}, outputs: map[int]int{}}
	for _, p := range a.problem.Present.Parts() {
		if p.Kind == graph.Cross {
			o := a.problem.Crosses[p.A].Output
			d.closed[o] = append(d.closed[o], p.A)
			continue
		}
		d.put(p)
	}
	for _, i := range a.gone {
		d.unplug(a.problem.Present.Cords[i][0])
	}
	for o := range a.problem.Outputs {
		d.outputs[a.problem.Outputs[o].Node] = o
	}
	return d
}

// take takes the cheapest ways of a source by what is left: to some ends together, and then to each other from
// where it comes by these.
func (d *draft) take(n *network) {
	d.ascent.reckon(n)
	d.net, d.at = n, map[int32]begun{int32(n.root): nothing}
	next := map[int32][]int{}
	for _, i := range n.trunk.all {
		next[n.arcs[i].from] = append(next[n.arcs[i].from], i)
	}
	for todo := []int32{int32(n.root)}; len(todo) > 0; todo = todo[1:] {
		for _, i := range next[todo[0]] {
			if d.goes(i) {
				todo = append(todo, n.arcs[i].to)
			}
		}
	}
	for _, e := range n.ends {
		for _, i := range d.way(e) {
			if !d.goes(i) {
				break
			}
		}
	}
	d.ascent.prices.set(func(i int) int { return d.ascent.prices.of[i] })
}

// goes takes an arc, where its source came to its beginning, and all is left that it uses.
func (d *draft) goes(i int) bool {
	a := &d.net.arcs[i]
	if _, been := d.at[a.to]; been || !d.has(a) {
		return false
	}
	on, ok := d.pass(a, d.at[a.from])
	if ok {
		d.at[a.to] = on
		d.use(a)
	}
	return ok
}

// way is the cheapest way to an end, from wherever the source came by what is left; empty where there is none.
func (d *draft) way(end int) []int {
	if _, been := d.at[int32(end)]; been {
		return nil
	}
	costs, by := fill[int](nil, len(d.net.into), far), fill[int](nil, len(d.net.into), graph.None)
	var q queue
	for v, place := range d.net.places {
		if _, been := d.at[int32(v)]; been && place != graph.None {
			costs[v] = 0
			q.push(queued{vertex: v})
		}
	}
	for len(q) > 0 && costs[end] > q[0].cost {
		top := q.pop()
		if top.cost > costs[top.vertex] {
			continue
		}
		for _, i := range d.net.out[top.vertex] {
			a := &d.net.arcs[i]
			if cost := top.cost + d.ascent.prices.ofArc(a); cost < costs[a.to] && d.has(a) {
				costs[a.to], by[a.to] = cost, int(i)
				q.push(queued{cost, 0, int(a.to)})
			}
		}
	}
	var way []int
	for v := end; by[v] != graph.None; v = int(d.net.arcs[by[v]].from) {
		way = append(way, by[v])
	}
	slices.Reverse(way)
	return way
}

// begun is where a cord begins, or the node by which a way came to a matrix; None for neither.
type begun struct{ jack, node int }

var nothing = begun{graph.None, graph.None}

// has says whether all that an arc uses is left. What there is none of is counted elsewhere (limits.pulls).
func (d *draft) has(a *arc) bool {
	lacks := func(thing int) bool { return d.ascent.limits.most[thing] > 0 && d.left[thing] <= 0 }
	for _, u := range a.uses {
		if u != none && lacks(int(u)) {
			return false
		}
	}
	for k := range int(a.kind) + 1 {
		if lacks(d.ascent.prices.things.kind(k)) {
			return false
		}
	}
	return true
}

// use takes what an arc uses; what is used up costs more than any way.
func (d *draft) use(a *arc) {
	used := func(thing int) {
		if d.left[thing]--; d.left[thing] == 0 {
			d.ascent.prices.of[thing] += dearest
		}
	}
	for _, u := range a.uses {
		if u != none {
			used(int(u))
		}
	}
	for k := range int(a.kind) + 1 {
		used(d.ascent.prices.things.kind(k))
	}
}

// pass puts in what one arc goes by; false where it cannot be.
func (d *draft) pass(a *arc, b begun) (on begun, ok bool) {
	from, to, jacks := d.net.places[a.from], d.net.places[a.to], d.jacks(a)
	nodes := len(d.ascent.problem.Nodes)
	switch {
	case to == graph.None: // a cord begins
		if len(jacks) > 0 {
			b.jack = jacks[0]
		}
		return b, true
	case from == graph.None: // and ends
		if len(jacks) > 1 {
			b.jack = jacks[1]
		}
		return nothing, d.plug(b.jack, jacks[0])
	case to >= nodes:
		return begun{graph.None, from}, true
	case from >= nodes:
		return nothing, d.close(b.node, to)
	case len(jacks) == 2 && d.ascent.problem.Present.Holds(cordOf(jacks[0], jacks[1])):
		return nothing, d.plugs[jacks[0]] == cordOf(jacks[0], jacks[1]) || d.plug(jacks[0], jacks[1])
	}
	for _, j := range jacks {
		d.unplug(j)
	}
	d.close(from, to)
	return nothing, true
}

// jacks are those that an arc uses: of a new cord the one at its end first.
func (d *draft) jacks(a *arc) []int {
	var jacks []int
	for _, u := range a.uses {
		if t := d.ascent.prices.things; u != none && int(u) >= t.jack(0) && int(u) < t.kind(0) {
			jacks = append(jacks, int(u)-t.jack(0))
		}
	}
	return jacks
}

func cordOf(i, j int) graph.Part {
	ends := graph.Ordered([2]int{i, j})
	return graph.Part{Kind: graph.Cord, A: ends[0], B: ends[1]}
}

// plug puts a cord in; false where another that was put in has a plug in one of the jacks.
func (d *draft) plug(from, to int) bool {
	if from == to || d.fresh[from] || d.fresh[to] || d.plugs[from].Kind == graph.Lead || d.plugs[to].Kind == graph.Lead {
		return false
	}
	d.unplug(from)
	d.unplug(to)
	d.fresh[from], d.fresh[to] = true, true
	d.put(cordOf(from, to))
	return true
}

func (d *draft) put(p graph.Part) {
	for _, j := range p.Jacks() {
		d.plugs[j] = p
	}
}

func (d *draft) unplug(j int) {
	for _, i := range d.plugs[j].Jacks() {
		delete(d.plugs, i)
	}
}

// close has an output of a matrix hear an input alone, by their nodes in either order; false where no
// crosspoint joins these.
func (d *draft) close(n, m int) bool {
	for _, ends := range [][2]int{{n, m}, {m, n}} {
		o, found := d.outputs[ends[1]]
		if !found {
			continue
		}
		for _, x := range d.ascent.problem.Outputs[o].Crosses {
			if d.ascent.problem.Crosses[x].From == ends[0] && (ends[0] == n || d.ascent.problem.Outputs[o].Relay) {
				d.closed[o] = []int{x}
				return true
			}
		}
	}
	return false
}

func (d *draft) patch() graph.Patch {
	var p graph.Patch
	for j, part := range d.plugs {
		if part.Jacks()[0] != j {
			continue
		}
		switch part.Kind {
		case graph.Cord:
			p.Cords = append(p.Cords, [2]int{part.A, part.B})
		case graph.Lead:
			p.Leads = append(p.Leads, [2]int{part.A, part.B})
		case graph.Dummy:
			p.Dummies = append(p.Dummies, part.A)
		case graph.Cross, graph.HeldNormal:
		}
	}
	for _, closed := range d.closed {
		p.Crosses = append(p.Crosses, closed...)
	}
	p.Sort()
	return p
}
