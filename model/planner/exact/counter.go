package exact

import "bayhand/model/planner/clause"

// counter counts how many of several literals are true: a tree of sums (the totalizer of
// Bailleux and Boufkhad 2003) that is written only as far as it is asked for (Martins,
// Joshi, Manquinho and Lynce 2014, "Incremental cardinality constraints for MaxSAT").
type counter struct {
	solver *clause.Solver
	// outputs[i] is true where more than i of the size literals below are.
	outputs     []clause.Lit
	size        int
	left, right *counter
}

func newCounter(s *clause.Solver, lits []clause.Lit) *counter {
	if len(lits) == 1 {
		return &counter{solver: s, outputs: lits, size: 1}
	}
	half := len(lits) / 2
	return &counter{solver: s, size: len(lits), left: newCounter(s, lits[:half]), right: newCounter(s, lits[half:])}
}

// atLeast is a literal that is true where at least k of the literals are; k is from 1 to
// the size. What was not asked for before adds about k clauses for each sum of the tree.
func (c *counter) atLeast(k int) clause.Lit {
	for len(c.outputs) < k {
		c.grow()
	}
	return c.outputs[k-1]
}

// grow adds the next output.
func (c *counter) grow() {
	k := len(c.outputs) + 1
	output := c.solver.Var()
	c.outputs = append(c.outputs, output)
	for i := max(0, k-c.right.size); i <= min(k, c.left.size); i++ {
		lits := []clause.Lit{output}
		if i > 0 {
			lits = append(lits, c.left.atLeast(i).Not())
		}
		if i < k {
			lits = append(lits, c.right.atLeast(k-i).Not())
		}
		c.solver.Add(lits...)
	}
}
