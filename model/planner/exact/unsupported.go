package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// unsupportedAmplifiers looks for amplifiers that are said to carry a source and only have it
// from each other. The clauses that it returns say that one of all those to which
// the source does not come would have to have it from outside them (the loop
// formulas of Lin and Zhao 2004).
func (e *support) unsupportedAmplifiers(source int) [][]clause.Lit {
	has := e.supported(source)
	wrong := func(o int) bool { return !has[o] && e.Value(e.carries[o][source]) }
	if !slices.ContainsFunc(e.amplifiers, wrong) {
		return nil
	}
	entry := e.Var()
	clauses := [][]clause.Lit{append(e.fromOutside(source, has), entry.Not())}
	for _, o := range e.amplifiers {
		if !has[o] {
			clauses = append(clauses, []clause.Lit{e.carries[o][source].Not(), entry})
		}
	}
	return clauses
}

// supported are the amplifiers to which a source comes, by output.
func (e *support) supported(source int) map[int]bool {
	has := map[int]bool{}
	for more := true; more; {
		more = false
		for _, o := range e.amplifiers {
			if !has[o] && e.isFed(o, source, has) {
				has[o], more = true, true
			}
		}
	}
	return has
}

// isFed says whether an output listens where the source is, or a supported output.
func (e *support) isFed(o, source int, has map[int]bool) bool {
	for _, x := range e.Outputs[o].Crosses {
		if !e.Value(e.closed[x]) {
			continue
		}
		for i, k := range e.dom[e.Crosses[x].From] {
			if e.brings(k, source, has) && e.Value(e.drive[e.Crosses[x].From][i]) {
				return true
			}
		}
	}
	return false
}

// brings says whether a driver is the source or a supported output.
func (e *support) brings(driver, source int, has map[int]bool) bool {
	if s, ok := e.SourceAt(driver); ok {
		return s == source
	}
	o := e.Amplifier(driver)
	return has[o] || !e.window.mayCarry(o) && e.window.state.Carried(o) == source
}

// fromOutside are literals of which one is true where a source comes to an
// output that is not supported: at each input either one of the crosspoints there
// or one of the drivers, whichever the search said no to earlier.
func (e *support) fromOutside(source int, has map[int]bool) []clause.Lit {
	var lits []clause.Lit
	crosses, order := e.crossesTo(func(o int) bool { return !has[o] })
	for _, n := range order {
		var drivers []clause.Lit
		for i, k := range e.dom[n] {
			if e.brings(k, source, has) {
				drivers = append(drivers, e.drive[n][i])
			}
		}
		if e.latest(drivers) < e.latest(crosses[n]) {
			lits = append(lits, drivers...)
		} else {
			lits = append(lits, crosses[n]...)
		}
	}
	return lits
}

// crossesTo are the crosspoints of some outputs of amplifiers, by the node of
// their input, and those nodes in order.
func (e *support) crossesTo(which func(output int) bool) (crosses map[int][]clause.Lit, order []int) {
	crosses = map[int][]clause.Lit{}
	for _, o := range e.amplifiers {
		if !which(o) {
			continue
		}
		for _, x := range e.Outputs[o].Crosses {
			n := e.Crosses[x].From
			if e.closed[x] == clause.False {
				continue
			}
			if crosses[n] == nil {
				order = append(order, n)
			}
			crosses[n] = append(crosses[n], e.closed[x])
		}
	}
	return crosses, order
}

// latest is when the search said no to the last of some literals; without end
// where it said yes to one.
func (e *support) latest(lits []clause.Lit) int {
	last := graph.None
	for _, l := range lits {
		last = max(last, e.lateness(l))
	}
	return last
}
