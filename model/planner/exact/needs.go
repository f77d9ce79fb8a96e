package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// needs say of each thing that a plan has something without which it would not be
// needed. These are necessary conditions only.
type needs struct {
	*graph.Graph
	*clause.Solver
	*variables
	// These are made when they are asked for, by node. Fruitful is true only where a
	// driver is there that can carry what is asked for; onward is true only where a
	// way leads on, by jack there, then by all else.
	fruitful []clause.Lit
	onward   [][]clause.Lit
	// listens is true only where an amplifier listens to a node; by node, made when it is
	// asked for.
	listens []clause.Lit
}

func newNeeds(g *graph.Graph, s *clause.Solver, v *variables) *needs {
	return &needs{g, s, v, make([]clause.Lit, len(g.Nodes)), make([][]clause.Lit, len(g.Nodes)), make([]clause.Lit, len(g.Nodes))}
}

// add says it of everything.
func (e *needs) add() {
	if e.problem.Options.LeaveCords {
		return
	}
	for j := range e.Jacks {
		for _, l := range []clause.Lit{e.dummy[j], e.loose[j]} {
			if l != clause.False && e.window.frees(j) {
				e.addBreakNeed(l, j)
			}
		}
	}
	for _, c := range e.cords {
		e.addCordNeed(c)
	}
	for i, o := range e.Outputs {
		if !e.window.switches(i) {
			continue
		}
		if o.Relay {
			for _, x := range o.Crosses {
				e.addRelayNeed(x)
			}
			continue
		}
		e.addOutputNeed(i)
	}
}

// addBreakNeed: a plug that only breaks breaks something that would otherwise
// hold, and on one side of it there is a driver.
func (e *needs) addBreakNeed(l clause.Lit, j int) {
	var broken []int
	for _, m := range e.Jacks[j].Normals {
		if e.Normals[m].Breaks(j) && e.problem.WorthBreaking(e.Normals[m], j) {
			broken = append(broken, m)
		}
	}
	if len(broken) != 1 {
		return
	}
	m := e.Normals[broken[0]]
	other := m.A + m.B - j
	if m.Breaks(other) {
		e.Add(l.Not(), e.plug[other].Not())
	}
	a, b := e.Jacks[m.A].Node, e.Jacks[m.B].Node
	drivesA, drivesB := e.Always(a), e.Always(b)
	switch {
	case len(drivesA)+len(drivesB) == 0:
		e.Add(l.Not(), e.alive(a), e.alive(b))
	case len(drivesB) == 0 && e.problem.OnlyByNormal(m, m.B, j):
		e.addForbidden(l, drivesA[0], b)
	case len(drivesA) == 0 && e.problem.OnlyByNormal(m, m.A, j):
		e.addForbidden(l, drivesB[0], a)
	}
}

// addForbidden: an amplifier that is kept away from an input carries something
// that the input must not hear.
func (e *needs) addForbidden(l clause.Lit, driver, n int) {
	if _, ok := e.SourceAt(driver); ok {
		return
	}
	unwanted := []clause.Lit{l.Not()}
	for _, s := range e.wanted {
		if e.problem.Forbids(n, s) {
			unwanted = append(unwanted, e.carry(e.Amplifier(driver), s))
		}
	}
	e.Add(unwanted...)
}

// addCordNeed: a cord carries something useful, and where it ends at the input of an
// amplifier or on a node that leads on, something takes it from there.
func (e *needs) addCordNeed(c cordVar) {
	i, j := c.ends[0], c.ends[1]
	if !e.window.frees(i) {
		return
	}
	n, m := e.Jacks[i].Node, e.Jacks[j].Node
	e.addUsefulDriver(c.lit, n)
	if len(e.Always(n)) == 0 {
		e.addTaken(c.lit, n, i)
	}
	if len(e.Always(m)) == 0 {
		e.addTaken(c.lit, m, j)
	}
}

// addUsefulDriver: where l is true, a node has a driver that can carry what the
// session asks for.
func (e *needs) addUsefulDriver(l clause.Lit, n int) {
	if e.fruitful[n] == 0 {
		var lits []clause.Lit
		for i, k := range e.dom[n] {
			if e.problem.Useful(k) {
				lits = append(lits, e.drive[n][i])
			}
		}
		e.fruitful[n] = clause.Some(e.Solver, lits)
	}
	e.Add(l.Not(), e.fruitful[n])
}

// addTaken: a node at the end of a cord drives itself, or a destination there
// asks for something, or another way leads on from it than by the jack that the
// cord is in.
func (e *needs) addTaken(l clause.Lit, n, jack int) {
	if len(e.problem.WantsAt[n]) > 0 || e.problem.Floats(n) {
		return
	}
	if e.onward[n] == nil {
		e.onward[n] = e.waysOn(n)
	}
	lits := []clause.Lit{l.Not()}
	for at, way := range e.onward[n] {
		if at == len(e.Nodes[n].Jacks) || e.Nodes[n].Jacks[at] != jack {
			lits = append(lits, way)
		}
	}
	e.Add(lits...)
}

// waysOn makes a literal for each jack of a node that is true only where a cord
// or lead leads on from there, and one for all other ways on.
func (e *needs) waysOn(n int) []clause.Lit {
	jacks := e.Nodes[n].Jacks
	lits := make([][]clause.Lit, len(jacks)+1)
	for _, edge := range e.edges[n] {
		at := len(jacks)
		if edge.jack != graph.None {
			at = slices.Index(jacks, edge.jack)
		}
		lits[at] = append(lits[at], edge.lit)
	}
	lits[len(jacks)] = append(lits[len(jacks)], e.amplifiersAt(n)...)
	ways := make([]clause.Lit, len(lits))
	for i := range lits {
		ways[i] = clause.Some(e.Solver, lits[i])
	}
	return ways
}

func (e *needs) addRelayNeed(x int) {
	if e.closed[x] == clause.False || len(e.Ganged[x]) > 0 {
		return
	}
	c := e.Crosses[x]
	e.addUsefulDriver(e.closed[x], c.From)
	for _, n := range []int{c.From, e.Outputs[c.Output].Node} {
		if len(e.Always(n)) == 0 {
			e.addTakenFrom(e.closed[x], n)
		}
	}
}

// addTakenFrom is addTaken for a crosspoint of a relay.
func (e *needs) addTakenFrom(l clause.Lit, n int) {
	if len(e.problem.WantsAt[n]) > 0 || e.problem.Floats(n) {
		return
	}
	lits := append(e.amplifiersAt(n), l.Not())
	for _, edge := range e.edges[n] {
		if edge.lit != l {
			lits = append(lits, edge.lit)
		}
	}
	e.Add(lits...)
}

// addOutputNeed: the output of an amplifier that is on comes to a destination
// that asks for something, or to another one that listens to it; in a window, where that
// follows from little, to one that could listen.
func (e *needs) addOutputNeed(o int) {
	if e.IsGanged(o) {
		return
	}
	lits := []clause.Lit{e.on[o].Not()}
	for n := range e.Nodes {
		switch l := e.driven(n, e.Outputs[o].Driver); {
		case l == clause.False:
		case len(e.problem.WantsAt[n]) > 0, e.window != nil && e.problem.Amplified(n):
			lits = append(lits, l)
		case e.problem.Amplified(n):
			lits = append(lits, e.listened(n, l))
		}
	}
	e.Add(lits...)
}

// listened is true only where an amplifier listens to a node and a driver is there.
func (e *needs) listened(n int, driven clause.Lit) clause.Lit {
	if e.listens[n] == 0 {
		e.listens[n] = clause.Some(e.Solver, e.amplifiersAt(n))
	}
	if driven == clause.True || e.listens[n] == clause.False {
		return e.listens[n]
	}
	both := e.Var()
	e.Add(both.Not(), driven)
	e.Add(both.Not(), e.listens[n])
	return both
}
