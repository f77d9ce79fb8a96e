package route

import (
	"maps"
	"slices"

	"bayhand/model/graph"
)

// Three stages of matrices carry any connections when what is there is rearranged
// (Paull 1962, "Reswitching of connection networks", Bell System Technical Journal 41;
// from memory): where an entry has a way into one matrix of the middle only, and the exit
// a way out of another one only, connections change between these two, one making room
// for the next, until the chain ends.

// middle is a matrix between others: each of its inputs is wired from an output of
// another matrix alone, each of its outputs to an input of another alone.
type middle struct {
	// in are the outputs of each entry that lead to it, out its own outputs that lead to
	// each exit.
	in, out map[string][]int
}

// flow is what a matrix of the middle carries of one source: from a crosspoint of an
// entry, which begins at a node, to outputs of exits.
type flow struct {
	entry string
	from  int
	exits map[string][]int
	// parts are its crosspoints as they are; none of one that is new.
	parts []graph.Part
}

// reswitching finds chains of connections that change between matrices of the middle.
type reswitching struct {
	*graph.Graph
	*draft
	middles []middle
}

func newReswitching(g *graph.Graph, d *draft) *reswitching {
	r := &reswitching{Graph: g, draft: d}
	byName := map[string]*middle{}
	for o := range g.Outputs {
		from, to := g.Outputs[o].Matrix, r.onlyMatrix(g.Outputs[o].Node)
		if to == "" || to == from {
			continue
		}
		for _, name := range []string{from, to} {
			if byName[name] == nil {
				byName[name] = &middle{map[string][]int{}, map[string][]int{}}
			}
		}
		byName[from].out[to] = append(byName[from].out[to], o)
		byName[to].in[from] = append(byName[to].in[from], o)
	}
	for _, m := range g.Studio.Matrices {
		if at := byName[m.Name]; at != nil && len(at.in) > 0 && len(at.out) > 0 {
			r.middles = append(r.middles, *at)
		}
	}
	return r
}

// onlyMatrix is the matrix whose input is all that a node leads to: nothing else is there
// but one output of another.
func (r *reswitching) onlyMatrix(n int) string {
	at := &r.Nodes[n]
	if len(at.Sources)+len(at.Inputs)+len(at.Ports)+len(at.Normals) > 0 || len(at.Outputs) != 1 || len(at.Ins) == 0 {
		return ""
	}
	owner := r.Points[r.Crosses[at.Ins[0]].Input].Owner
	for _, x := range at.Ins {
		if r.Points[r.Crosses[x].Input].Owner != owner {
			return ""
		}
	}
	return owner
}

// bring brings a source to an input over one matrix of the middle, while others change
// between that and a second one.
func (r *reswitching) bring(source, in int) bool {
	if len(r.middles) < 2 {
		return false
	}
	for _, f := range r.fresh(source, r.Node[in]) {
		for p := range r.middles {
			for q := range r.middles {
				if r.spent() {
					return false
				}
				if p != q && r.chain(f, p, q) {
					return true
				}
			}
		}
	}
	return false
}

// fresh are the flows that would bring a source to a node: from each matrix that it comes
// to, and by each that leads there.
func (r *reswitching) fresh(source, to int) []flow {
	var outputs []int
	for _, n := range r.trial.State.NodesOf(r.trial.State.NetOf(to)) {
		outputs = append(outputs, r.Nodes[n].Outputs...)
	}
	var all []flow
	for _, n := range r.trial.State.NodesOf(r.trial.State.NetOf(r.Node[r.Sources[source]])) {
		entries := map[string]bool{}
		for _, x := range r.Nodes[n].Ins {
			entry := r.Outputs[r.Crosses[x].Output].Matrix
			if entries[entry] {
				continue
			}
			entries[entry] = true
			for _, o := range outputs {
				all = append(all, flow{entry: entry, from: n, exits: map[string][]int{r.Outputs[o].Matrix: {o}}})
			}
		}
	}
	return all
}

// chain puts a flow into one matrix of the middle. What is in its way there goes to a
// second one, what is in the way of that comes back, and so on; no flow moves twice. It
// says whether less is wrong then.
func (r *reswitching) chain(fresh flow, p, q int) bool {
	ways := [2]middle{r.middles[p], r.middles[q]}
	stay := [2][]flow{r.flows(ways[0]), r.flows(ways[1])}
	var moved []move
	for queue := []move{{fresh, 0}}; len(queue) > 0; queue = queue[1:] {
		f := queue[0]
		r.work++
		if !ways[f.to].leads(f.flow) || slices.ContainsFunc(moved, func(g move) bool { return g.to == f.to && ways[f.to].clash(g.flow, f.flow) }) {
			return false
		}
		moved = append(moved, f)
		stay[f.to] = slices.DeleteFunc(stay[f.to], func(g flow) bool {
			if !ways[f.to].clash(g, f.flow) {
				return false
			}
			if len(g.exits) == 0 {
				moved = append(moved, move{g, nowhere}) // of no use to anybody
			} else {
				queue = append(queue, move{g, 1 - f.to})
			}
			return true
		})
	}
	return r.carryOut(moved, ways)
}

// move is a flow that goes to the first or the second of two matrices, or nowhere.
type move struct {
	flow
	to int
}

const nowhere = -1

// leads says whether a matrix has a way from the entry of a flow, and to all its exits.
func (m middle) leads(f flow) bool {
	if len(m.in[f.entry]) == 0 {
		return false
	}
	for exit := range f.exits {
		if len(m.out[exit]) == 0 {
			return false
		}
	}
	return true
}

// clash says whether two flows of different signals need the one way of an entry, or to
// an exit.
func (m middle) clash(f, g flow) bool {
	if f.from == g.from {
		return false
	}
	if f.entry == g.entry && len(m.in[f.entry]) == 1 {
		return true
	}
	for exit := range f.exits {
		if len(g.exits[exit]) > 0 && len(m.out[exit]) == 1 {
			return true
		}
	}
	return false
}

// flows are what a matrix carries now, in the order of its inputs.
func (r *reswitching) flows(m middle) []flow {
	var all []flow
	for _, entry := range slices.Sorted(maps.Keys(m.in)) {
		for _, o := range m.in[entry] {
			for _, x := range r.trial.State.Behind(o) {
				f := flow{entry: entry, from: r.Crosses[x].From, exits: map[string][]int{}, parts: []graph.Part{{Kind: graph.Cross, A: x}}}
				for _, y := range r.closedFrom(r.Outputs[o].Node) {
					f.parts = append(f.parts, graph.Part{Kind: graph.Cross, A: y})
					to := r.Outputs[r.Crosses[y].Output].Node
					for _, z := range r.closedFrom(to) {
						exit := r.Crosses[z].Output
						f.parts = append(f.parts, graph.Part{Kind: graph.Cross, A: z})
						f.exits[r.Outputs[exit].Matrix] = append(f.exits[r.Outputs[exit].Matrix], exit)
					}
				}
				all = append(all, f)
			}
		}
	}
	return all
}

// closedFrom are the closed crosspoints that begin at a node.
func (r *reswitching) closedFrom(n int) []int {
	return slices.DeleteFunc(slices.Clone(r.Nodes[n].Ins), func(x int) bool { return !r.closed(x) })
}

func (r *reswitching) closed(x int) bool {
	return slices.Contains(r.trial.State.Behind(r.Crosses[x].Output), x)
}

// carryOut moves flows, where less is wrong by it.
func (r *reswitching) carryOut(moved []move, ways [2]middle) bool {
	before := r.trial.Wrong()
	var out, in []graph.Part
	for _, f := range moved {
		out = append(out, f.parts...)
	}
	for _, exits := range moved[0].exits {
		for _, o := range exits { // of no use to whom it leads to
			for _, x := range r.trial.State.Behind(o) {
				if p := (graph.Part{Kind: graph.Cross, A: x}); !slices.Contains(out, p) {
					out = append(out, p)
				}
			}
		}
	}
	ganged := slices.ContainsFunc(out, func(p graph.Part) bool { return len(r.Ganged[p.A]) > 0 })
	if ganged {
		return false
	}
	r.trial.Change(out, nil)
	for _, f := range moved {
		if f.to == nowhere {
			continue
		}
		parts, ok := r.through(f.flow, ways[f.to])
		if !ok {
			break
		}
		r.trial.Change(nil, parts)
		in = append(in, parts...)
	}
	if r.trial.Wrong() >= before {
		r.trial.Change(in, out)
		return false
	}
	r.changes++
	for _, p := range out {
		delete(r.placed, p)
	}
	r.place(in)
	return true
}

// through are the crosspoints that a flow lacks on its way through a matrix; ok is false
// where others are on it.
func (r *reswitching) through(f flow, m middle) (parts []graph.Part, ok bool) {
	x, ok := r.crossTo(f.from, m.in[f.entry])
	if !ok {
		return nil, false
	}
	add := func(x int) {
		if !r.closed(x) {
			parts = append(parts, graph.Part{Kind: graph.Cross, A: x})
		}
	}
	add(x)
	at := r.Outputs[r.Crosses[x].Output].Node
	for _, exit := range slices.Sorted(maps.Keys(f.exits)) {
		y, ok := r.crossTo(at, m.out[exit])
		if !ok {
			return nil, false
		}
		add(y)
		for _, o := range f.exits[exit] {
			z, ok := r.crossTo(r.Outputs[r.Crosses[y].Output].Node, []int{o})
			if !ok {
				return nil, false
			}
			add(z)
		}
	}
	return parts, true
}

// crossTo is a crosspoint from a node to one of some outputs: one that is closed, or to
// an output that listens to nothing. Those that are switched with others are left alone.
func (r *reswitching) crossTo(n int, outputs []int) (int, bool) {
	free := graph.None
	for _, x := range r.Nodes[n].Ins {
		switch o := r.Crosses[x].Output; {
		case !slices.Contains(outputs, o) || len(r.Ganged[x]) > 0:
		case r.closed(x):
			return x, true
		case free == graph.None && len(r.trial.State.Behind(o)) == 0:
			free = x
		}
	}
	return free, free != graph.None
}
