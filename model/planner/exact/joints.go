package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// joints make the crosspoints, and say that what metal joins has the same driver.
type joints struct {
	*graph.Graph
	*clause.Solver
	*variables
}

// addCrosses makes the variables of the crosspoints; an output takes one.
func (e *joints) addCrosses() {
	e.closed = slices.Repeat([]clause.Lit{clause.False}, len(e.Crosses)) // absent ones stay open
	for i, o := range e.Outputs {
		if !e.window.switches(i) {
			for _, x := range o.Crosses {
				e.closed[x] = constant(e.window.holds(graph.Part{Kind: graph.Cross, A: x}))
			}
			continue
		}
		var lits []clause.Lit
		for _, x := range o.Crosses {
			if together := e.Ganged[x]; len(together) > 0 {
				if together[0] == x {
					e.closed[x] = e.Var()
				} else if together[0] != graph.None {
					e.closed[x] = e.closed[together[0]]
				}
			} else if e.crossMakesSense(o, e.Crosses[x]) {
				e.closed[x] = e.Var()
			}
			if e.closed[x] != clause.False {
				lits = append(lits, e.closed[x])
			}
		}
		clause.AtMostOne(e.Solver, lits)
	}
}

func (e *joints) crossMakesSense(o graph.Output, c graph.Crosspoint) bool {
	from, to := e.Always(c.From), e.Always(o.Node)
	if len(from) > 0 && !e.problem.Useful(from[0]) {
		return false
	}
	if !o.Relay {
		return slices.ContainsFunc(e.wanted, func(s int) bool { return e.narrowed.MayPass(c.From, s) && e.narrowed.MayPass(o.Node, s) })
	}
	return len(to) == 0 && (len(from) == 0 || e.driven(o.Node, from[0]) != clause.False) || len(from) == 0
}

// addEdges says that what metal joins has the same driver.
func (e *joints) addEdges() {
	for _, c := range e.cords {
		e.addEdge(c.lit, e.place(c.ends[0]), e.place(c.ends[1]))
	}
	for _, l := range e.leads {
		e.addEdge(l.lit, place{e.Node[e.Ports[l.port]], graph.None}, e.place(l.jack))
	}
	for i, n := range e.Normals {
		e.addEdge(e.hold[i], place{e.Jacks[n.A].Node, graph.None}, place{e.Jacks[n.B].Node, graph.None})
	}
	for x, c := range e.Crosses {
		if e.Outputs[c.Output].Relay {
			e.addEdge(e.closed[x], place{c.From, graph.None}, place{e.Outputs[c.Output].Node, graph.None})
		}
	}
}

// place is where an edge ends: a node, and the jack there that it is in.
type place struct{ node, jack int }

func (e *joints) place(j int) place { return place{e.Jacks[j].Node, j} }

func (e *joints) addEdge(lit clause.Lit, a, b place) {
	n, m := a.node, b.node
	if n == m || lit == clause.False || !e.window.varies(n) && !e.window.varies(m) {
		return
	}
	toN, toM := lit, lit
	if e.directed {
		toN, toM = e.directions(lit, n, m)
	}
	e.edges[n] = append(e.edges[n], edge{lit, m, a.jack, toN, toM})
	e.edges[m] = append(e.edges[m], edge{lit, n, b.jack, toM, toN})
	switch {
	case len(e.Always(n)) > 0:
		e.Add(lit.Not(), e.driven(m, e.dom[n][0]))
	case len(e.Always(m)) > 0:
		e.Add(lit.Not(), e.driven(n, e.dom[m][0]))
	default:
		if len(e.dom[n]) > len(e.dom[m]) {
			n, m = m, n
		}
		// A node has one driver only, so that it is enough to say of one of them which
		// it is, and of the other that there is one.
		e.sameDriver(lit, n, m)
		e.Add(lit.Not(), e.alive(m).Not(), e.alive(n))
	}
}

// directions say to which end of an edge a driver comes over it. One at most is true, so that no
// two nodes have a driver from each other.
func (e *joints) directions(lit clause.Lit, n, m int) (toN, toM clause.Lit) {
	leadsToN, leadsToM := e.leadsTo(m, n), e.leadsTo(n, m)
	switch {
	case !leadsToN && !leadsToM:
		return clause.False, clause.False
	case !leadsToN:
		return clause.False, lit
	case !leadsToM:
		return lit, clause.False
	}
	toN, toM = e.Var(), e.Var()
	e.Add(toN.Not(), lit)
	e.Add(toM.Not(), lit)
	e.Add(toN.Not(), toM.Not())
	return toN, toM
}

// leadsTo says whether a driver could come from a node to another that is joined with it.
func (e *joints) leadsTo(from, to int) bool {
	return len(e.Always(to)) == 0 && e.window.varies(to) && !e.isLeaf[from]
}

// sameDriver says that a driver of n is one of m. Where they have none in common,
// it is enough to say that n has none.
func (e *joints) sameDriver(lit clause.Lit, n, m int) {
	shared := 0
	for _, k := range e.dom[n] {
		if e.driven(m, k) != clause.False {
			shared++
		}
	}
	if shared == 0 && len(e.dom[n]) > 2 {
		e.Add(lit.Not(), e.alive(n).Not())
		return
	}
	for i, k := range e.dom[n] {
		e.Add(lit.Not(), e.drive[n][i].Not(), e.driven(m, k))
	}
}

// ownDriver says whether a driver stands at the node itself.
func ownDriver(t *problem.Problem, n, driver int) bool {
	return t.DriverNode(driver) == n
}
