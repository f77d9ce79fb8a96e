package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// addCrosses makes the variables of the crosspoints; an output takes one.
func (e *encoding) addCrosses() {
	e.closed = slices.Repeat([]clause.Lit{clause.False}, len(e.Crosses)) // absent ones stay open
	for _, o := range e.Outputs {
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
		e.atMostOne(lits)
	}
}

func (e *encoding) crossMakesSense(o graph.Output, c graph.Crosspoint) bool {
	from, to := e.Always(c.From), e.Always(o.Node)
	if len(from) > 0 && !e.task.useful(from[0]) {
		return false
	}
	if !o.Relay {
		return len(e.task.wanted) > 0
	}
	return len(to) == 0 && (len(from) == 0 || e.driven(o.Node, from[0]) != clause.False) || len(from) == 0
}

// addEdges says that what metal joins has the same driver.
func (e *encoding) addEdges() {
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

func (e *encoding) place(j int) place { return place{e.Jacks[j].Node, j} }

func (e *encoding) addEdge(lit clause.Lit, a, b place) {
	n, m := a.node, b.node
	if n == m || lit == clause.False {
		return
	}
	e.edges[n] = append(e.edges[n], edge{lit, m, a.jack})
	e.edges[m] = append(e.edges[m], edge{lit, n, b.jack})
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

// sameDriver says that a driver of n is one of m. Where they have none in common,
// it is enough to say that n has none.
func (e *encoding) sameDriver(lit clause.Lit, n, m int) {
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
func (t *task) ownDriver(n, driver int) bool {
	return t.DriverNode(driver) == n
}

// addHearing says what is heard at each node that has listeners.
func (e *encoding) addHearing() {
	for o := range e.Outputs {
		if e.Outputs[o].Relay {
			continue
		}
		e.carries[o] = map[int]clause.Lit{}
		var lits []clause.Lit
		for _, s := range e.task.wanted {
			l := e.Var()
			e.carries[o][s] = l
			lits = append(lits, l)
		}
		e.atMostOne(lits)
	}
	for n := range e.Nodes {
		e.addListener(n)
	}
}

func (e *encoding) addListener(n int) {
	first, _ := slices.BinarySearch(e.dom[n], len(e.Sources))
	amplifiers := e.dom[n][first:]
	if len(amplifiers) == 0 {
		return
	}
	e.heard[n] = make([]clause.Lit, len(e.task.wanted))
	for i, s := range e.task.wanted {
		if e.task.takes(n, s, e.soft) {
			e.heard[n][i] = e.addHeard(n, s, amplifiers)
			continue
		}
		e.heard[n][i] = clause.False
		for _, k := range amplifiers {
			e.Add(e.driven(n, k).Not(), e.carries[e.Amplifier(k)][s].Not())
		}
	}
}

func (e *encoding) addHeard(n, s int, amplifiers []int) clause.Lit {
	if len(e.Always(n)) > 0 {
		return e.carries[e.Amplifier(amplifiers[0])][s]
	}
	direct := e.driven(n, s)
	l := e.Var()
	e.Add(direct.Not(), l)
	from := []clause.Lit{l.Not(), direct}
	for _, k := range amplifiers {
		d, h := e.driven(n, k), e.carries[e.Amplifier(k)][s]
		e.Add(d.Not(), h.Not(), l)
		e.Add(d.Not(), l.Not(), h)
		from = append(from, d)
	}
	e.Add(from...)
	return l
}

// hear says whether a source is heard at a node.
func (e *encoding) hear(n, s int) clause.Lit {
	if e.heard[n] != nil {
		if i, ok := slices.BinarySearch(e.task.wanted, s); ok {
			return e.heard[n][i]
		}
	}
	return e.driven(n, s)
}

// addAmplifiers ties what an output carries to what its input hears.
func (e *encoding) addAmplifiers() {
	for i, o := range e.Outputs {
		if o.Relay {
			continue
		}
		var lits []clause.Lit
		for _, x := range o.Crosses {
			lits = append(lits, e.closed[x])
			e.addCarry(i, x)
		}
		e.on[i] = e.either(slices.DeleteFunc(lits, func(l clause.Lit) bool { return l == clause.False }))
		for _, s := range e.task.wanted {
			e.Add(e.carries[i][s].Not(), e.on[i])
		}
		if o.HighImpedance {
			own := e.driven(o.Node, o.Driver)
			e.Add(own.Not(), e.on[i])
			e.Add(e.on[i].Not(), own)
		}
	}
}

// addCarry: an output with a crosspoint carries what the input hears, and what
// it carries is something that the session asks for, or it would not be needed,
// unless it is closed for the sake of an output that is switched together.
func (e *encoding) addCarry(o, x int) {
	on := e.closed[x]
	if on == clause.False {
		return
	}
	n := e.Crosses[x].From
	something := append(make([]clause.Lit, 0, 1+len(e.task.wanted)), on.Not())
	for _, s := range e.task.wanted {
		heard, carried := e.hear(n, s), e.carries[o][s]
		e.Add(on.Not(), heard.Not(), carried)
		e.Add(on.Not(), carried.Not(), heard)
		something = append(something, carried)
	}
	if len(e.Ganged[x]) == 0 {
		e.Add(something...)
	}
}
