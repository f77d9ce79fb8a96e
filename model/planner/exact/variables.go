package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// variables are the literals of a problem as clauses: the things that a patch has,
// and beside them which driver's signal is on each node. The parts of an encoding
// make them, each its own, and all read them.
type variables struct {
	problem *problem.Problem
	solver  *clause.Solver
	// soft, directed, window and narrowed are what is searched (scope).
	soft, directed bool
	window         *window
	narrowed       *problem.Narrowed
	// wanted are the sources that the search reckons with, and amplifiers the outputs that may
	// carry one or another.
	wanted     []int
	amplifiers []int
	// wantLits and silentLits are those of each want and silence that is a choice.
	wantLits   []clause.Lit
	silentLits []clause.Lit

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
	// driveAt those of all drivers on nodes that many may be on, nil on others. Live says
	// that some driver is on a node; it is made when it is asked for.
	dom     [][]int
	drive   [][]clause.Lit
	driveAt [][]clause.Lit
	live    []clause.Lit
	// heard is what comes through amplifiers or not, by node and place in wanted; nil
	// where no amplifier may drive the node. Carries is what an output of an
	// amplifier may have, by source, carried what one has that may have nothing else, or None; on
	// whether it has a crosspoint.
	heard   [][]clause.Lit
	carries [][]clause.Lit
	carried []int
	on      []clause.Lit
	// edges join nodes; a leaf is a node that no signal goes through.
	edges  [][]edge
	isLeaf []bool
}

// cordVar is a cord that may be in.
type cordVar struct {
	ends [2]int
	lit  clause.Lit
	// charge is the end at which a new cord is counted.
	charge int
}

// leadVar is a lead that may be in.
type leadVar struct {
	port, jack int
	lit        clause.Lit
}

// edge joins a node with another while its literal is true. Jack is the one on
// this side that it is in; None for what is in none.
type edge struct {
	lit  clause.Lit
	to   int
	jack int
	// into is true where the driver on this side comes over the edge, out where the one there does;
	// both are lit where the clauses do not tell.
	into, out clause.Lit
}

func newVariables(p *problem.Problem, of scope) *variables {
	nodes, jacks, outputs := len(p.Nodes), len(p.Jacks), len(p.Outputs)
	wanted, amplifiers := p.Wanted, p.Amplifiers
	if w := of.window; w != nil {
		wanted = w.wanted
		amplifiers = slices.DeleteFunc(slices.Clone(amplifiers), func(o int) bool { return !w.unsure[o] })
	}
	return &variables{
		problem: p, solver: clause.New(), soft: of.soft, window: of.window, narrowed: of.narrowed, directed: of.directed, wanted: wanted, amplifiers: amplifiers,
		cordsAt: make([][]int, jacks), leadsAt: make([][]int, jacks),
		dom: make([][]int, nodes), drive: make([][]clause.Lit, nodes), live: make([]clause.Lit, nodes),
		driveAt: make([][]clause.Lit, nodes), heard: make([][]clause.Lit, nodes), carries: make([][]clause.Lit, outputs), carried: make([]int, outputs), on: make([]clause.Lit, outputs),
		edges: make([][]edge, nodes),
	}
}

// partLit is the literal of a part.
func (v *variables) partLit(p graph.Part) clause.Lit {
	switch p.Kind {
	case graph.Cord:
		if p.B == graph.None {
			return v.loose[p.A]
		}
		return v.cord([2]int{p.A, p.B})
	case graph.Lead:
		for _, at := range v.leadsAt[p.B] {
			if v.leads[at].port == p.A {
				return v.leads[at].lit
			}
		}
	case graph.Dummy:
		return v.dummy[p.A]
	case graph.Cross:
		return v.closed[p.A]
	case graph.HeldNormal:
		return v.hold[p.A]
	}
	return clause.False
}

// carry says whether an output of an amplifier carries a wanted source.
func (v *variables) carry(o, source int) clause.Lit {
	if v.carries[o] == nil {
		return constant(v.carried[o] == source)
	}
	return v.carries[o][source]
}

// carriedIn is the literal of what an output carries in the answer found last.
func (v *variables) carriedIn(o int) clause.Lit {
	for _, s := range v.wanted {
		if l := v.carry(o, s); v.solver.Value(l) {
			return l
		}
	}
	return clause.False
}

// driven says whether a driver is on a node.
func (v *variables) driven(n, driver int) clause.Lit {
	if all := v.driveAt[n]; all != nil {
		return all[driver]
	}
	if i := slices.Index(v.dom[n], driver); i >= 0 {
		return v.drive[n][i]
	}
	return clause.False
}

// alive says whether any driver is on a node.
func (v *variables) alive(n int) clause.Lit {
	if v.live[n] != clause.True {
		return v.live[n]
	}
	if len(v.problem.Always(n)) > 0 {
		return clause.True
	}
	v.live[n] = clause.Either(v.solver, v.drive[n])
	return v.live[n]
}

// heardAt are the sources that may be heard at a node, in order.
func (v *variables) heardAt(n int) []heardLit {
	var all []heardLit
	for s := range v.problem.Sources {
		if l := v.hear(n, s); l != clause.False {
			all = append(all, heardLit{s, l})
		}
	}
	return all
}

// amplifiersAt are the crosspoints by which amplifiers listen to a node.
func (v *variables) amplifiersAt(n int) []clause.Lit {
	var lits []clause.Lit
	for _, x := range v.problem.Nodes[n].Ins {
		if !v.problem.Outputs[v.problem.Crosses[x].Output].Relay && v.closed[x] != clause.False {
			lits = append(lits, v.closed[x])
		}
	}
	return lits
}

// cord is the literal of a cord between two jacks.
func (v *variables) cord(ends [2]int) clause.Lit {
	if ends[1] == graph.None {
		return clause.False
	}
	at, ok := slices.BinarySearchFunc(v.cordsAt[ends[0]], ends[1], func(c, j int) int { return v.across(c, ends[0]) - j })
	if !ok {
		return clause.False
	}
	return v.cords[v.cordsAt[ends[0]][at]].lit
}

// across is the jack at the other end of a cord.
func (v *variables) across(c, j int) int { return v.cords[c].ends[0] + v.cords[c].ends[1] - j }
