package bound

import "slices"

// served says whether a destination has what it asks for by a normal that only a plug in a jack breaks, from
// where its source always is, and by nothing else while a plug is in. A cord in the jack that carries it
// there is in no plan, unless its other plug guards something: without it the destination has it all the same.
func (f *facts) served(j int) bool {
	n := f.problem.Jacks[j].Node
	at := &f.problem.Nodes[n]
	asked := f.sourcesFor[n]
	if !f.pricesHeld || len(asked) == 0 || !f.problem.EndsAt(j) || len(at.Normals) != 1 || f.problem.Options.LeaveCords || f.problem.AsksForWays() || f.overridden(n) {
		return false
	}
	m := f.problem.Normals[at.Normals[0]]
	from := m.Other(j)
	always := f.problem.Always(f.problem.Jacks[from].Node)
	return m.Breaks(j) && !m.Breaks(from) && slices.Equal(always, asked[:1])
}

// overridden says whether an input at a node could hear what comes by a socket instead.
func (f *facts) overridden(n int) bool {
	return slices.ContainsFunc(f.problem.Nodes[n].Inputs, func(in int) bool { return len(f.problem.Overrides[in]) > 0 })
}
