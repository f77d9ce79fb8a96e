package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// encoding is a task as clauses. Its variables are the things that a patch
// has, and beside them which driver's signal is on each node. Every patch that
// gives the session and has nothing that it does not need is an answer, so that
// what is proved of all answers holds of all such patches. Not every answer is
// such a patch: package heard has the last word, and what it refuses is added as
// a clause (refine.go).
type encoding struct {
	*graph.Graph
	task *task
	*clause.Solver
	// soft makes each want and silence a choice, with a literal of its own.
	soft     bool
	wantLits []clause.Lit
	hushLits []clause.Lit // of session.Silent

	// guarding says of each jack whether a plug in it could be needed for a normal
	// that it breaks, ends whether it would stand alone on its node.
	guarding, ends []bool

	cords   []cordVar
	cordsAt [][]int // by jack; in order of the jacks at the other ends
	leads   []leadVar
	leadsAt [][]int // by jack
	dummy   []clause.Lit
	loose   []clause.Lit
	plug    []clause.Lit
	hold    []clause.Lit // by normal
	closed  []clause.Lit // by crosspoint

	// dom are the drivers that may be on a node, sorted; drive their literals, and
	// driveAt those of all drivers, one node after the other.
	dom     [][]int
	drive   [][]clause.Lit
	driveAt []clause.Lit
	// heard is what comes through amplifiers or not, by node and place in wanted; nil
	// where no amplifier may drive the node. Carries is what an output of an
	// amplifier has, by source; on whether it has a crosspoint.
	heard   [][]clause.Lit
	carries []map[int]clause.Lit
	on      []clause.Lit
	edges   [][]edge
	isLeaf  []bool

	// These are made when they are asked for, by node. Live says that some driver is
	// on it; fruitful is true only where one is that can carry what is asked for;
	// onward is true only where a way leads on, by jack there, then by all else.
	live, fruitful []clause.Lit
	onward         [][]clause.Lit
	// scratch is for clauses on their way to the solver.
	scratch []clause.Lit
}

type cordVar struct {
	ends [2]int
	lit  clause.Lit
	// charge is the end at which a new cord is counted.
	charge int
}

type leadVar struct {
	port, jack int
	lit        clause.Lit
}

// edge joins a node with another while its literal is true. Jack is the one on
// this side that it is in; nowhere for what is in none.
type edge struct {
	lit  clause.Lit
	to   int
	jack int
}

// newEncoding makes the clauses of a task. A draft that is known already, if only
// that of the present patch, is what the search tries first.
func newEncoding(t *task, soft bool, known graph.Patch) *encoding {
	nodes, jacks, outputs := len(t.Nodes), len(t.Jacks), len(t.Outputs)
	e := &encoding{
		Graph: t.Graph, task: t, Solver: clause.New(), soft: soft,
		cordsAt: make([][]int, jacks), leadsAt: make([][]int, jacks),
		dom: make([][]int, nodes), drive: make([][]clause.Lit, nodes),
		driveAt: slices.Repeat([]clause.Lit{clause.False}, nodes*t.CountDrivers()),
		heard:   make([][]clause.Lit, nodes), carries: make([]map[int]clause.Lit, outputs), on: make([]clause.Lit, outputs),
		edges: make([][]edge, nodes), live: make([]clause.Lit, nodes),
		fruitful: make([]clause.Lit, nodes), onward: make([][]clause.Lit, nodes),
	}
	e.addDomains()
	e.addCrosses()
	e.addPlugs()
	e.addHolds()
	e.expect()
	e.addEdges()
	e.addSupport()
	e.addBorders()
	e.addHearing()
	e.addAmplifiers()
	e.addWants()
	e.addTakeovers()
	e.addNeeds()
	e.Check = e.refuseRings
	e.preferPatch(known)
	return e
}

// expect makes room for the clauses to come, of which most are of a cord, or of
// what is heard, with a driver or a source.
func (e *encoding) expect() {
	clauses, literals := 0, 0
	add := func(count, length int) { clauses, literals = clauses+count, literals+count*length }
	for _, c := range e.cords {
		n, m := e.Jacks[c.ends[0]].Node, e.Jacks[c.ends[1]].Node
		fewer := min(len(e.dom[n]), len(e.dom[m]))
		add(fewer+4, 3)                           // addEdges, addNeeds
		literals += len(e.dom[n]) + len(e.dom[m]) // addSupport
	}
	for n := range e.Nodes {
		first, _ := slices.BinarySearch(e.dom[n], len(e.Sources))
		add(2*len(e.dom[n]), 2)                            // alive, addSupport
		add(2*(len(e.dom[n])-first)*len(e.task.wanted), 3) // addHearing
		add(2*len(e.Nodes[n].Ins)*len(e.task.wanted), 3)   // addAmplifiers
	}
	e.Expect(clauses, literals)
}

// usable says whether a plan may plug anything in a jack.
func (t *task) usable(j int) bool { return !t.Jacks[j].Faulty }

// useful says whether a driver can carry what the session asks for.
func (t *task) useful(driver int) bool {
	s, ok := t.SourceAt(driver)
	if !ok {
		return len(t.wanted) > 0
	}
	_, found := slices.BinarySearch(t.wanted, s)
	return found
}

// addDomains finds the drivers that may be on each node.
func (e *encoding) addDomains() {
	for n := range e.Nodes {
		always := e.Always(n)
		switch {
		case len(always) > 1:
			e.Add() // two outputs are wired together: no patch parts them
			e.setDomain(n, always[:1])
		case len(always) == 1:
			e.setDomain(n, always)
			if s, ok := e.SourceAt(always[0]); ok && !e.task.takes(n, s, e.soft) {
				e.Add()
			}
		default:
			e.setDomain(n, e.possible(n))
		}
	}
}

// possible are the drivers that may be on a node which none drives always.
func (e *encoding) possible(n int) []int {
	var dom []int
	at := &e.Nodes[n]
	if len(at.Normals) == 0 && len(at.Ports) == 0 && !e.task.relays(n) && !slices.ContainsFunc(at.Jacks, e.task.usable) {
		for _, o := range at.Outputs {
			if !e.Outputs[o].Relay {
				dom = append(dom, e.Outputs[o].Driver)
			}
		}
		return dom
	}
	for k := range e.CountDrivers() {
		s, isSource := e.SourceAt(k)
		if isSource && !e.task.takes(n, s, e.soft) {
			continue
		}
		dom = append(dom, k)
	}
	return dom
}

func (e *encoding) setDomain(n int, dom []int) {
	e.dom[n] = dom
	lits := make([]clause.Lit, len(dom))
	if len(e.Always(n)) > 0 {
		lits[0] = clause.True
	} else {
		for i := range lits {
			lits[i] = e.Var()
		}
		e.atMostOne(lits)
	}
	e.drive[n] = lits
	for i, k := range dom {
		e.driveAt[n*e.CountDrivers()+k] = lits[i]
	}
}

// driven says whether a driver is on a node.
func (e *encoding) driven(n, driver int) clause.Lit { return e.driveAt[n*e.CountDrivers()+driver] }

// alive says whether any driver is on a node.
func (e *encoding) alive(n int) clause.Lit {
	if e.live[n] != clause.True {
		return e.live[n]
	}
	if len(e.Always(n)) > 0 {
		return clause.True
	}
	e.live[n] = e.either(e.drive[n])
	return e.live[n]
}

// addAny says that one of several literals is true, or one more.
func (e *encoding) addAny(lits []clause.Lit, more clause.Lit) {
	e.scratch = append(append(e.scratch[:0], lits...), more)
	e.Add(e.scratch...)
}

// some is a literal that is true only if one of several is.
func (e *encoding) some(lits []clause.Lit) clause.Lit {
	switch {
	case len(lits) == 0:
		return clause.False
	case len(lits) == 1:
		return lits[0]
	case slices.Contains(lits, clause.True):
		return clause.True
	}
	l := e.Var()
	e.addAny(lits, l.Not())
	return l
}

// either is a literal that is true exactly if one of several is.
func (e *encoding) either(lits []clause.Lit) clause.Lit {
	switch len(lits) {
	case 0:
		return clause.False
	case 1:
		return lits[0]
	}
	l := e.Var()
	for _, k := range lits {
		e.Add(k.Not(), l)
	}
	e.addAny(lits, l.Not())
	return l
}

// atMostOne allows one of several; long lists go through a ladder of helpers
// (Sinz 2005).
func (e *encoding) atMostOne(lits []clause.Lit) {
	if len(lits) <= 5 {
		for i := range lits {
			for j := range i {
				e.Add(lits[i].Not(), lits[j].Not())
			}
		}
		return
	}
	before := clause.False
	for i, l := range lits {
		e.Add(before.Not(), l.Not())
		if i == len(lits)-1 {
			return
		}
		taken := e.Var()
		e.Add(l.Not(), taken)
		e.Add(before.Not(), taken)
		before = taken
	}
}

// relays says whether a relay's input or output stands at a node.
func (t *task) relays(n int) bool {
	at := &t.Nodes[n]
	for _, x := range at.Ins {
		if t.Outputs[t.Crosses[x].Output].Relay {
			return true
		}
	}
	for _, x := range at.Outs {
		if t.Outputs[t.Crosses[x].Output].Relay {
			return true
		}
	}
	return false
}

// amplified says whether an input of an amplifier stands at a node.
func (t *task) amplified(n int) bool {
	for _, x := range t.Nodes[n].Ins {
		if !t.Outputs[t.Crosses[x].Output].Relay {
			return true
		}
	}
	return false
}

// floats says whether an amplifier's output that can let go stands at a node.
func (t *task) floats(n int) bool {
	for _, o := range t.Nodes[n].Outputs {
		if !t.Outputs[o].Relay && t.Outputs[o].HighImpedance {
			return true
		}
	}
	return false
}

// end says whether a plug in a jack stands alone on its node: nothing else
// there leads on, and nothing drives it.
func (t *task) end(j int) bool {
	n := t.Jacks[j].Node
	at := &t.Nodes[n]
	if len(t.Always(n)) > 0 || len(at.Ports) > 0 || t.relays(n) || t.floats(n) {
		return false
	}
	for _, k := range at.Jacks {
		if k != j && t.usable(k) {
			return false
		}
	}
	for _, m := range at.Normals {
		if !t.Normals[m].Breaks(j) {
			return false
		}
	}
	return true
}

// guards says whether a plug in a jack could be needed for a normal that it
// breaks: not where the normal would only let an input hear what it may.
func (t *task) guards(j int) bool {
	for _, m := range t.Jacks[j].Normals {
		if t.Normals[m].Breaks(j) && t.worthBreaking(t.Normals[m], j) {
			return true
		}
	}
	return false
}

func (t *task) worthBreaking(m graph.Normal, j int) bool {
	a, b := t.Jacks[m.A].Node, t.Jacks[m.B].Node
	drivesA, drivesB := t.Always(a), t.Always(b)
	switch {
	case a == b:
		return false
	case len(drivesA) > 0 && len(drivesB) > 0:
		return true
	case len(drivesA) > 0:
		return !t.onlyByNormal(m, m.B, j) || t.forbidsDriver(b, drivesA[0])
	case len(drivesB) > 0:
		return !t.onlyByNormal(m, m.A, j) || t.forbidsDriver(a, drivesB[0])
	}
	return true
}

// onlyByNormal says whether the node of a jack at the end of a normal has nothing else
// that could drive it while the normal would hold but for the plug in j.
func (t *task) onlyByNormal(m graph.Normal, end, j int) bool {
	n := t.Jacks[end].Node
	at := &t.Nodes[n]
	if len(at.Normals) > 1 || len(at.Ports) > 0 || t.relays(n) || t.floats(n) {
		return false
	}
	for _, k := range at.Jacks {
		if t.usable(k) && k != j && !m.Breaks(k) {
			return false
		}
	}
	return true
}

func (t *task) forbidsDriver(n, driver int) bool {
	if s, ok := t.SourceAt(driver); ok {
		return t.forbids(n, s)
	}
	return slices.ContainsFunc(t.wanted, func(s int) bool { return t.forbids(n, s) })
}
