package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// domains make the literals of the drivers that may be on each node.
type domains struct {
	*graph.Graph
	*clause.Solver
	*variables
	// reaches are the nodes that a driver may come to, by driver; nil for all, and of one that
	// comes nowhere else than now.
	reaches [][]bool
	// moving are the drivers that may come elsewhere than they are.
	moving []int
}

// add finds the drivers that may be on each node.
func (e *domains) add() {
	if e.narrowed != nil {
		r := newReach(e.problem, e.narrowed)
		for k := range e.CountDrivers() {
			var reached []bool
			if e.window.varies(e.DriverNode(k)) {
				reached = r.of(k)
			}
			e.reaches = append(e.reaches, reached)
		}
	}
	for k := range e.CountDrivers() {
		if e.window.varies(e.DriverNode(k)) {
			e.moving = append(e.moving, k)
		}
	}
	for n := range e.Nodes {
		always := e.Always(n)
		switch {
		case len(always) > 1:
			e.Add() // two outputs are wired together: no patch parts them
			e.setDomain(n, always[:1])
		case len(always) == 1:
			e.setDomain(n, always)
			if s, ok := e.SourceAt(always[0]); ok && !e.problem.Takes(n, s, e.soft) {
				e.Add()
			}
		case !e.window.varies(n):
			e.setDomain(n, e.window.driversOf(n))
		default:
			e.setDomain(n, e.possible(n))
		}
	}
}

// possible are the drivers that may be on a node which none drives always.
func (e *domains) possible(n int) []int {
	var dom []int
	at := &e.Nodes[n]
	if len(at.Normals) == 0 && len(at.Ports) == 0 && !e.problem.Relays(n) && !slices.ContainsFunc(at.Jacks, e.problem.Usable) {
		for _, o := range at.Outputs {
			if !e.Outputs[o].Relay {
				dom = append(dom, e.Outputs[o].Driver)
			}
		}
		return dom
	}
	for _, k := range e.moving {
		if s, isSource := e.SourceAt(k); isSource && !e.problem.Takes(n, s, e.soft) {
			continue
		}
		if e.reaches == nil || e.reaches[k][n] {
			dom = append(dom, k)
		}
	}
	return dom
}

func (e *domains) setDomain(n int, dom []int) {
	e.dom[n] = dom
	lits := make([]clause.Lit, len(dom))
	if len(e.Always(n)) > 0 || !e.window.varies(n) {
		for i := range lits {
			lits[i] = clause.True
		}
	} else {
		for i := range lits {
			lits[i] = e.Var()
		}
		clause.AtMostOne(e.Solver, lits)
	}
	e.drive[n] = lits
	if len(dom) <= fewDrivers {
		return
	}
	e.driveAt[n] = slices.Repeat([]clause.Lit{clause.False}, e.CountDrivers())
	for i, k := range dom {
		e.driveAt[n][k] = lits[i]
	}
}

// fewDrivers are looked through one by one.
const fewDrivers = 4
