package graph_test

import (
	"slices"

	"bayhand/model/graph"
)

// reference is what a patch makes of a graph, computed slowly from nothing.
type reference struct {
	graph *graph.Graph
	parts []graph.Part
	over  []int // by node, the next towards the root of its net
	// heard and drivers are by root; amplified counts what came through amplifiers.
	heard     map[int]map[int]bool
	drivers   map[int]int
	amplified int
}

func newReference(g *graph.Graph, parts []graph.Part) *reference {
	r := &reference{graph: g, parts: parts, heard: map[int]map[int]bool{}, drivers: map[int]int{}}
	for n := range g.Nodes {
		r.over = append(r.over, n)
	}
	for m, n := range g.Normals {
		if r.holds(m) {
			r.join(g.Jacks[n.A].Node, g.Jacks[n.B].Node)
		}
	}
	for _, p := range parts {
		switch p.Kind {
		case graph.Cord:
			if p.B != graph.None {
				r.join(g.Jacks[p.A].Node, g.Jacks[p.B].Node)
			}
		case graph.Lead:
			r.join(g.Node[g.Ports[p.A]], g.Jacks[p.B].Node)
		case graph.Cross:
			if o := g.Outputs[g.Crosses[p.A].Output]; o.Relay {
				r.join(g.Crosses[p.A].From, o.Node)
			}
		case graph.Dummy, graph.HeldNormal:
		}
	}
	return r
}

func (r *reference) root(n int) int {
	for r.over[n] != n {
		n = r.over[n]
	}
	return n
}

func (r *reference) join(n, m int) { r.over[r.root(n)] = r.root(m) }

func (r *reference) plugged(jack int) bool {
	return slices.ContainsFunc(r.parts, func(p graph.Part) bool { return slices.Contains(p.Jacks(), jack) })
}

func (r *reference) holds(m int) bool {
	n := r.graph.Normals[m]
	return !(n.BreaksA && r.plugged(n.A)) && !(n.BreaksB && r.plugged(n.B))
}

// takenOver says whether a socket that takes over an input has a lead in it, or is
// wired.
func (r *reference) takenOver(input int) bool {
	return slices.ContainsFunc(r.graph.Overrides[input], func(front int) bool {
		led := slices.ContainsFunc(r.parts, func(p graph.Part) bool { return p.Kind == graph.Lead && r.graph.Ports[p.A] == front })
		return led || len(r.graph.Nodes[r.graph.Node[front]].Points) > 1
	})
}

// behind are the crosspoints of an output that are closed.
func (r *reference) behind(o int) []int {
	var all []int
	for _, p := range r.parts {
		if p.Kind == graph.Cross && r.graph.Crosses[p.A].Output == o {
			all = append(all, p.A)
		}
	}
	return all
}

// spread lets sources be heard on their nets, then through amplifiers until nothing
// more is heard anywhere.
func (r *reference) spread() {
	for n, node := range r.graph.Nodes {
		r.drivers[r.root(n)] += len(node.Sources)
		for _, s := range node.Sources {
			r.hear(r.root(n), s)
		}
	}
	for o, out := range r.graph.Outputs {
		if !out.Relay && (!out.HighImpedance || len(r.behind(o)) > 0) {
			r.drivers[r.root(out.Node)]++
		}
	}
	for more := true; more; {
		more = false
		for o, out := range r.graph.Outputs {
			if out.Relay {
				continue
			}
			for _, x := range r.behind(o) {
				for s := range r.heard[r.root(r.graph.Crosses[x].From)] {
					if r.hear(r.root(out.Node), s) {
						r.amplified++
						more = true
					}
				}
			}
		}
	}
}

func (r *reference) hear(root, source int) (fresh bool) {
	if r.heard[root] == nil {
		r.heard[root] = map[int]bool{}
	}
	fresh = !r.heard[root][source]
	r.heard[root][source] = true
	return fresh
}

// tally counts what there was.
func (r *reference) tally(seen map[string]int) {
	seen["sources through amplifiers"] += r.amplified
	for _, n := range r.drivers {
		if n > 1 {
			seen["joined outputs"]++
		}
	}
	for input := range r.graph.Overrides {
		if r.takenOver(input) {
			seen["inputs that are taken over"]++
		}
	}
	for m := range r.graph.Normals {
		if !r.holds(m) {
			seen["normals that are broken"]++
		}
	}
}
