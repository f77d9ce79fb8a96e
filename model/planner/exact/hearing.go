package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// hearing says what is heard at each node, through amplifiers as well.
type hearing struct {
	*graph.Graph
	*clause.Solver
	*variables
}

// add says it for each node that has listeners, then for the amplifiers.
func (e *hearing) add() {
	for o := range e.Outputs {
		if e.Outputs[o].Relay {
			continue
		}
		if !e.window.mayCarry(o) {
			e.carried[o] = e.window.state.Carried(o)
			continue
		}
		e.carries[o] = slices.Repeat([]clause.Lit{clause.False}, len(e.Sources))
		var lits []clause.Lit
		for _, s := range e.wanted {
			if !e.narrowed.MayPass(e.Outputs[o].Node, s) {
				continue
			}
			l := e.Var()
			e.carries[o][s] = l
			lits = append(lits, l)
		}
		clause.AtMostOne(e.Solver, lits)
	}
	for n := range e.Nodes {
		e.addListener(n)
	}
	e.addAmplifiers()
}

func (e *hearing) addListener(n int) {
	first, _ := slices.BinarySearch(e.dom[n], len(e.Sources))
	amplifiers := e.dom[n][first:]
	if len(amplifiers) == 0 || !e.window.hears(n) {
		return
	}
	e.heard[n] = make([]clause.Lit, len(e.wanted))
	for i, s := range e.wanted {
		if e.problem.Takes(n, s, e.soft) {
			e.heard[n][i] = e.addHeard(n, s, amplifiers)
			continue
		}
		e.heard[n][i] = clause.False
		for _, k := range amplifiers {
			e.Add(e.driven(n, k).Not(), e.carry(e.Amplifier(k), s).Not())
		}
	}
}

func (e *hearing) addHeard(n, s int, amplifiers []int) clause.Lit {
	if len(e.Always(n)) > 0 || !e.window.varies(n) {
		return e.carry(e.Amplifier(amplifiers[0]), s)
	}
	direct := e.driven(n, s)
	l := e.Var()
	e.Add(direct.Not(), l)
	from := []clause.Lit{l.Not(), direct}
	for _, k := range amplifiers {
		o := e.Amplifier(k)
		d, h := e.driven(n, k), e.carry(o, s)
		if h == clause.False && !e.window.mayCarry(o) {
			continue // another driver is there where this source is heard
		}
		e.Add(d.Not(), h.Not(), l)
		e.Add(d.Not(), l.Not(), h)
		from = append(from, d)
	}
	e.Add(from...)
	return l
}

// mayComeTo are the sources that the search reckons with and that may be heard at a node: of a node
// on which the window changes nothing, those that are.
func (v *variables) mayComeTo(n int) []int {
	if v.window.hears(n) {
		return v.wanted
	}
	return slices.DeleteFunc(slices.Clone(v.window.heardOn(n)), func(s int) bool {
		_, wanted := slices.BinarySearch(v.wanted, s)
		return !wanted
	})
}

// addAmplifiers ties what an output carries to what its input hears.
func (e *hearing) addAmplifiers() {
	for i, o := range e.Outputs {
		if o.Relay {
			continue
		}
		if !e.window.mayCarry(i) {
			e.on[i] = constant(len(e.window.state.Behind(i)) > 0)
			continue
		}
		var lits []clause.Lit
		for _, x := range o.Crosses {
			lits = append(lits, e.closed[x])
			e.addCarry(i, x)
		}
		e.on[i] = clause.Either(e.Solver, slices.DeleteFunc(lits, func(l clause.Lit) bool { return l == clause.False }))
		for _, s := range e.wanted {
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
// unless it is closed for the sake of an output that is switched together. Where it
// carries something, no clause need say of what cannot come to the input that it does not.
func (e *hearing) addCarry(o, x int) {
	on := e.closed[x]
	if on == clause.False {
		return
	}
	n := e.Crosses[x].From
	sources := e.wanted
	if len(e.Ganged[x]) == 0 {
		sources = e.mayComeTo(n)
	}
	something := append(make([]clause.Lit, 0, 1+len(sources)), on.Not())
	for _, s := range sources {
		heard, carried := e.hear(n, s), e.carries[o][s]
		e.Add(on.Not(), heard.Not(), carried)
		e.Add(on.Not(), carried.Not(), heard)
		something = append(something, carried)
	}
	if len(e.Ganged[x]) == 0 {
		e.Add(something...)
	}
}
