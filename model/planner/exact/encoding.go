package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// encoding is a problem as clauses. Every patch that gives the session and has
// nothing that it does not need is an answer, so that what is proved of all answers
// holds of all such patches. Not every answer is such a patch: package heard has
// the last word, and what it refuses is added as a clause (refusal).
type encoding struct {
	*graph.Graph
	*clause.Solver
	*variables
	refusal refusal
}

// newEncoding makes the clauses of a problem. A patch that is known already, if only
// the present one, is what the search tries first; in a window, the patch around it.
func newEncoding(p *problem.Problem, of scope, known graph.Patch) *encoding {
	v := newVariables(p, of)
	g, s := p.Graph, v.solver
	s.Ladders = of.window != nil
	e := &encoding{g, s, v, refusal{g, s, v}}
	for n := range p.Nodes {
		e.isLeaf = append(e.isLeaf, leaf(p, n))
	}
	metal, origin := joints{g, s, v}, support{Graph: g, Solver: s, variables: v}
	(&domains{Graph: g, Solver: s, variables: v}).add()
	metal.addCrosses()
	(&plugs{g, s, v}).add()
	e.expect()
	metal.addEdges()
	origin.add()
	(&hearing{g, s, v}).add()
	(&wants{g, s, v}).add()
	newNeeds(g, s, v).add()
	v.limitCords()
	s.Check = origin.refuseRings
	if of.window != nil {
		e.preferPatch(of.window.patch, of.window.state)
	} else {
		e.preferPatch(known, p.State(known))
	}
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
		if !e.window.varies(n) && !e.window.hears(n) {
			continue
		}
		first, _ := slices.BinarySearch(e.dom[n], len(e.Sources))
		add(2*len(e.dom[n]), 2) // alive, addSupport
		for _, k := range e.dom[n][first:] {
			if e.window.mayCarry(e.Amplifier(k)) {
				add(2*len(e.wanted), 3) // addHearing
			} else {
				add(2, 3)
			}
		}
	}
	for o := range e.Outputs {
		if e.Outputs[o].Relay || !e.window.mayCarry(o) {
			continue
		}
		for _, x := range e.Outputs[o].Crosses {
			if e.closed[x] != clause.False {
				add(2*len(e.mayComeTo(e.Crosses[x].From)), 3) // addAmplifiers
			}
		}
	}
	e.Expect(clauses, literals)
}
