package certificate

import (
	"math"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/session"
)

// forest is the trees by which a source could come to its destinations. The least of
// them is found over sets of destinations (Dreyfus and Wagner 1971), and within a set
// by relaxing all arcs until nothing changes (Bellman 1958, "On a routing problem").
//
// Where wants ask for a way there are as many layers of nodes as sets of the owners
// that it has passed. Wants that ask for other ways than the first that asks for one
// are left out, which makes no tree dearer.
type forest struct {
	*graph.Graph
	checker *checker
	source  int
	root    int
	ends    []session.Want
	via     []string
	avoid   []string
	layers  int
	arcs    []arc
	onward  []bool // by node: whether a signal could go through it
	// crossOnly says of each whether it goes on from there by crosspoints alone.
	crossOnly []bool
	joints    []int // by node: how much could be joined to it at once
	costs     [][]float64
}

// arc leads from one place to another; a place is a node in a layer.
type arc struct {
	from, to int
	price    float64
}

func newForest(c *checker, source int, wants []session.Want) *forest {
	f := &forest{Graph: c.Graph, checker: c, source: source, root: c.Node[c.Sources[source]], ends: wants}
	for _, w := range wants {
		if len(w.Via)+len(w.Avoid) > 0 {
			f.via, f.avoid = w.Via, w.Avoid
			f.ends = slices.DeleteFunc(slices.Clone(wants), func(o session.Want) bool {
				same := slices.Equal(o.Via, w.Via) && slices.Equal(o.Avoid, w.Avoid)
				return !same && (len(w.Avoid) > 0 || len(o.Via)+len(o.Avoid) > 0)
			})
			break
		}
	}
	f.layers = 1 << len(f.via)
	f.readNodes()
	f.addArcs()
	return f
}

// readNodes finds what could be joined to each node: a jack takes a plug, unless it is
// faulty, and an output of a matrix one crosspoint. No signal goes through one with a single
// jack whose plug breaks its normal, and by crosspoints alone where it has inputs of
// amplifiers, too.
func (f *forest) readNodes() {
	f.onward, f.crossOnly, f.joints = make([]bool, len(f.Nodes)), make([]bool, len(f.Nodes)), make([]int, len(f.Nodes))
	for n := range f.Nodes {
		at := &f.Nodes[n]
		jacks := slices.DeleteFunc(slices.Clone(at.Jacks), func(j int) bool { return !f.checker.usable(j) })
		others := len(at.Ports) + len(at.Ins) + len(at.Outputs)
		f.joints[n] = len(jacks) + len(at.Normals) + others
		f.onward[n] = true
		if len(at.Ports)+len(at.Always)+len(at.Outputs) > 0 || len(jacks) > 1 || len(at.Normals) > 1 || f.Relays(n) {
			continue
		}
		through := len(at.Normals) == 1 && len(jacks) == 1 && !f.Normals[at.Normals[0]].Breaks(jacks[0])
		f.onward[n], f.crossOnly[n] = through || len(at.Ins) > 0, !through
	}
}

// least is what the cheapest tree costs; infinite for none.
func (f *forest) least() float64 {
	all := 1<<len(f.ends) - 1
	f.costs = make([][]float64, all+1)
	for set := 1; set <= all; set++ {
		f.costs[set] = slices.Repeat([]float64{math.Inf(1)}, len(f.Nodes)*f.layers)
		f.begin(set)
		for changed := true; changed; {
			changed = false
			for _, a := range f.arcs {
				if c := f.costs[set][a.to] + a.price + f.checker.ofNode[a.from/f.layers]; c < f.costs[set][a.from] {
					f.costs[set][a.from], changed = c, true
				}
			}
		}
	}
	return f.costs[all][f.root*f.layers]
}

// begin are the trees to a set of destinations that begin at one, or where two meet.
func (f *forest) begin(set int) {
	costs := f.costs[set]
	for i, w := range f.ends {
		n := f.Node[f.Number[w.Destination]]
		for layer := range f.layers {
			if set == 1<<i && f.checker.mayBe(n, f.source) && (len(w.Via) == 0 || layer == f.layers-1) {
				costs[n*f.layers+layer] = f.checker.ofNode[n]
			}
		}
	}
	for part := 1; part < set; part++ {
		if part&set != part || part > set-part {
			continue
		}
		for place := range costs {
			n := place / f.layers
			if f.mayFork(n, part, set-part) {
				costs[place] = min(costs[place], f.costs[part][place]+f.costs[set-part][place]-f.checker.ofNode[n])
			}
		}
	}
}

// mayFork says whether a node has joints enough for trees to two sets to go on from it.
func (f *forest) mayFork(n, part, other int) bool {
	needed := 3
	if n == f.root {
		needed--
	}
	for i, w := range f.ends {
		if f.Node[f.Number[w.Destination]] == n && (part == 1<<i || other == 1<<i) {
			return f.joints[n] >= needed-1
		}
	}
	return f.joints[n] >= needed
}

// add adds the arcs from one node to another, by what some owners own.
func (f *forest) add(from, to int, price float64, owners ...string) {
	forbidden := slices.ContainsFunc(f.avoid, func(o string) bool { return slices.Contains(owners, o) })
	if from == to || forbidden || !f.onward[from] || math.IsInf(price, 1) || !f.checker.mayBe(from, f.source) || !f.checker.mayBe(to, f.source) {
		return
	}
	for before := range f.layers {
		after := before
		for i, o := range f.via {
			if slices.Contains(owners, o) {
				after |= 1 << i
			}
		}
		f.arcs = append(f.arcs, arc{from*f.layers + before, to*f.layers + after, price})
	}
}

// join adds the arcs between two nodes both ways; none to where something else drives,
// since two drivers would meet.
func (f *forest) join(n, m int, price float64, owners ...string) {
	if len(f.Always(m)) == 0 && !f.crossOnly[n] {
		f.add(n, m, price, owners...)
	}
	if len(f.Always(n)) == 0 && !f.crossOnly[m] {
		f.add(m, n, price, owners...)
	}
}

func (f *forest) addArcs() {
	for _, n := range f.Normals {
		price := 0.0
		for _, j := range []int{n.A, n.B} {
			if n.Breaks(j) && len(f.Jacks[j].Normals) == 1 {
				price += f.checker.ofJack[j]
			}
		}
		f.join(f.Jacks[n.A].Node, f.Jacks[n.B].Node, price, f.Owner(n.A), f.Owner(n.B))
	}
	for i := range f.Jacks {
		for j := range i {
			if f.checker.usable(i) && f.checker.usable(j) && !f.Jacks[i].Socket && !f.Jacks[j].Socket {
				f.join(f.Jacks[i].Node, f.Jacks[j].Node, f.checker.ofJack[i]+f.checker.ofJack[j]+f.checker.leastCord([2]int{j, i}), f.Owner(i), f.Owner(j))
			}
		}
		for port, at := range f.Ports {
			if f.checker.usable(i) && f.checker.stock.LeadGoes(port, i) {
				f.join(f.Node[at], f.Jacks[i].Node, f.checker.ofJack[i], f.Owner(i))
			}
		}
	}
	for o, out := range f.Outputs {
		for _, x := range out.Crosses {
			if !f.Incomplete(x) {
				f.addCross(o, out, f.Crosses[x].From)
			}
		}
	}
}

func (f *forest) addCross(o int, out graph.Output, from int) {
	always := f.Always(out.Node)
	switch {
	case out.Relay:
		f.join(from, out.Node, f.checker.ofOutput[o], out.Matrix)
	case len(always) == 0 || len(always) == 1 && always[0] == out.Driver:
		f.add(from, out.Node, 0, out.Matrix)
	}
}
