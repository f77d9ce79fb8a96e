package exact

import (
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// wants say what the session asks.
type wants struct {
	*graph.Graph
	*clause.Solver
	*variables
}

// add says it all.
func (e *wants) add() {
	e.addWants()
	e.addTakeovers()
}

func (e *wants) addWants() {
	choice := func() clause.Lit {
		if e.soft {
			return e.Var()
		}
		return clause.True
	}
	e.wantLits = make([]clause.Lit, len(e.problem.Session.Wants))
	for i, w := range e.problem.Session.Wants {
		e.wantLits[i] = choice()
		at, s := e.Number[w.Destination], e.SourceOf[w.Source]
		e.Add(e.wantLits[i].Not(), e.hear(e.Node[at], s))
	}
	e.silentLits = make([]clause.Lit, len(e.problem.Session.Silent))
	for i, p := range e.problem.Session.Silent {
		e.silentLits[i] = choice()
		at, ok := e.Number[p]
		if !ok || !e.problem.Asks[at].Silent {
			continue
		}
		if _, ok := e.problem.OverrideOf[at]; ok && !e.soft {
			continue // see addTakeovers
		}
		for _, l := range e.heardAt(e.Node[at]) {
			e.Add(e.silentLits[i].Not(), l.lit.Not())
		}
	}
	if e.soft {
		e.addDropped()
	}
}

// addTakeovers lets an input that could be taken over from the front hear what it
// must not only where a lead is in the socket there.
func (e *wants) addTakeovers() {
	for _, in := range slices.Sorted(maps.Keys(e.problem.OverrideOf)) {
		if len(e.problem.Asks[in].Wants) > 0 || !e.window.hears(e.Node[in]) && !e.window.freesPort(e.problem.OverrideOf[in]) {
			continue
		}
		var taken []clause.Lit
		for _, l := range e.leads {
			if l.port == e.problem.OverrideOf[in] {
				taken = append(taken, l.lit)
			}
		}
		for _, h := range e.heardAt(e.Node[in]) {
			if !e.problem.AcceptsItself(in, h.source, e.soft) {
				e.Add(append([]clause.Lit{h.lit.Not()}, taken...)...)
			}
		}
	}
}

type heardLit struct {
	source int
	lit    clause.Lit
}

// addDropped says what a destination may hear whose wants are all dropped: what
// it may when the session does not name it.
func (e *wants) addDropped() {
	for in, a := range e.problem.Asks {
		if !a.Named() || !e.window.hears(e.Node[in]) {
			continue
		}
		for _, h := range e.heardAt(e.Node[in]) {
			if a.Anything || slices.Contains(a.May, h.source) {
				continue
			}
			allowed := []clause.Lit{h.lit.Not()}
			for _, w := range a.Wants {
				if e.SourceOf[e.problem.Session.Wants[w].Source] == h.source {
					allowed = append(allowed, e.wantLits[w])
				}
			}
			e.Add(allowed...)
		}
	}
}
