package exact

import (
	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// support says where a driver on a node comes from. A signal that clauses claim and
// nothing drives is unsupported: it is refused as it turns up.
type support struct {
	*graph.Graph
	*clause.Solver
	*variables
	// joined are the nodes that vary, or that are joined with one that does.
	joined []int
}

// leaf says whether a node has at most one edge at a time and no driver of its
// own, so that no signal goes through it: one jack whose plug breaks all that
// ends there, or one output of a relay matrix.
func leaf(t *problem.Problem, n int) bool {
	at := t.Nodes[n]
	if len(t.Always(n)) > 0 || len(at.Ports) > 0 || t.Floats(n) {
		return false
	}
	var jacks []int
	for _, j := range at.Jacks {
		if t.Usable(j) || t.Options.LeaveCords {
			jacks = append(jacks, j)
		}
	}
	if t.Relays(n) {
		return len(jacks) == 0 && len(at.Normals) == 0 && oneRelay(t, n)
	}
	switch len(at.Normals) {
	case 0:
		return len(jacks) <= 1
	case 1:
		return len(jacks) == 0 || len(jacks) == 1 && t.Normals[at.Normals[0]].Breaks(jacks[0])
	}
	return false
}

// oneRelay says whether one output is all that relays have at a node.
func oneRelay(t *problem.Problem, n int) bool {
	for _, x := range t.Nodes[n].Ins {
		if t.Outputs[t.Crosses[x].Output].Relay {
			return false
		}
	}
	relays := 0
	for _, o := range t.Nodes[n].Outputs {
		if t.Outputs[o].Relay {
			relays++
		}
	}
	return relays == 1
}

// add says what is necessary. Rings that feed themselves are found in the answers
// (rings.go, unsupported.go).
func (e *support) add() {
	for n := range e.Nodes {
		if e.window.varies(n) || len(e.edges[n]) > 0 {
			e.joined = append(e.joined, n)
		}
	}
	e.addEdges()
	e.addBorders()
}

// addEdges says that a driver comes to a node over some metal that ends there, from
// a node that can lead on.
func (e *support) addEdges() {
	var lits []clause.Lit
	for n := range e.Nodes {
		if len(e.Always(n)) > 0 || !e.window.varies(n) {
			continue
		}
		for i, k := range e.dom[n] {
			if ownDriver(e.problem, n, k) {
				continue
			}
			lits = append(lits[:0], e.drive[n][i].Not())
			for _, edge := range e.edges[n] {
				if !e.isLeaf[edge.to] && e.driven(edge.to, k) != clause.False {
					lits = append(lits, edge.into)
				}
			}
			e.Add(lits...)
		}
	}
}

// addBorders says of each driver that it comes nowhere but over an edge from its
// own node, and nowhere further than the normals there but over an edge from
// where they lead. The search would find out by itself, but late.
func (e *support) addBorders() {
	for k := range e.CountDrivers() {
		at := e.DriverNode(k)
		if !e.problem.Useful(k) || !e.window.varies(at) {
			continue
		}
		near := make([]bool, len(e.Nodes))
		near[at] = true
		e.addBorder(k, near)
		for _, m := range e.Nodes[at].Normals {
			a, b := e.Jacks[e.Normals[m].A].Node, e.Jacks[e.Normals[m].B].Node
			near[a], near[b] = true, true
		}
		if len(e.Nodes[at].Normals) > 0 {
			e.addBorder(k, near)
		}
	}
}

func (e *support) addBorder(driver int, inside []bool) {
	for _, lits := range e.border(driver, func(n int) bool { return inside[n] }) {
		e.Add(lits...)
	}
}
