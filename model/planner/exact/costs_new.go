package exact

import (
	"slices"

	"bayhand/model/planner/clause"
)

// addNewCords counts two for each cord that is not where an old one was; one
// where an old one hung there already. The cost is a literal for each jack and
// each source that the cord may carry there, so that the cords that two sources
// need are never counted as one.
func (c *costs) addNewCords() {
	newAt := make([][]int, len(c.Jacks)) // by the jack at which they are counted
	for at, v := range c.cords {
		switch {
		case slices.Contains(c.problem.Present.Cords, v.ends):
			c.holds(v.lit, 2, ungrouped)
		case !c.addGrown(at):
			newAt[v.charge] = append(newAt[v.charge], at)
		}
	}
	for j, cords := range newAt {
		if len(cords) > 0 {
			c.addNewAt(j, cords)
		}
	}
}

// addGrown counts a cord that may be one which hung: one where it is, else both halves. It
// says whether there was any that it could be.
func (c *costs) addGrown(at int) bool {
	v := c.cords[at]
	grown := []clause.Lit{}
	for _, j := range v.ends {
		if l, ok := c.gainsEnd[j]; ok {
			grown = append(grown, l)
		}
	}
	if len(grown) == 0 {
		return false
	}
	c.holds(v.lit, 2, ungrouped)
	whole := c.Var()
	c.Add(append(grown, v.lit.Not(), whole)...)
	c.putIn(v.lit)
	c.charge(whole, 1)
	if c.byPut {
		c.puts(c.unmoved([]int{at}), 1, ungrouped)
	}
	return true
}

// addNewAt counts the new cords that are counted at one jack.
func (c *costs) addNewAt(j int, cords []int) {
	lits := make([]clause.Lit, len(cords))
	for i, at := range cords {
		lits[i] = c.cords[at].lit
	}
	plugged, ends := clause.Either(c.Solver, lits), 2
	if c.byPut && slices.ContainsFunc(cords, c.mayBeMoved) {
		c.puts(plugged, 1, ungrouped)
		plugged, ends = c.unmoved(cords), 1
	}
	for _, one := range c.bySource(j, plugged) {
		c.newAt[[2]int{j, one.source}] = one.lit
		c.chargeFor(one.lit, 2, one.source)
		c.holds(one.lit, 2, one.source)
		c.puts(one.lit, ends, one.source)
	}
}

// bySource are literals of which one is true where a plug is in a jack, one for each source
// that may be there.
func (c *costs) bySource(j int, plugged clause.Lit) []cost {
	var all []cost
	any := []clause.Lit{plugged.Not()}
	for _, h := range c.heardAt(c.Jacks[j].Node) {
		if plugged == clause.True || !c.problem.Useful(h.source) {
			continue
		}
		l := c.Var()
		c.Add(plugged.Not(), h.lit.Not(), l)
		all, any = append(all, cost{l, 1, h.source}), append(any, l)
	}
	if len(all) == 0 {
		return []cost{{plugged, 1, ungrouped}}
	}
	other := c.Var()
	c.Add(append(any, other)...)
	return append(all, cost{other, 1, ungrouped})
}

// mayBeMoved says whether a cord could be an old one of which one end moved.
func (c *costs) mayBeMoved(cord int) bool {
	ends := c.cords[cord].ends
	return c.from[ends[0]] != 0 || c.from[ends[1]] != 0
}

// unmoved is true where one of some cords is in and none of its plugs was.
func (c *costs) unmoved(cords []int) clause.Lit {
	l := c.Var()
	for _, at := range cords {
		lits := []clause.Lit{c.cords[at].lit.Not(), l}
		for _, j := range c.cords[at].ends {
			if from, ok := c.from[j]; ok {
				lits = append(lits, from)
			}
		}
		c.Add(lits...)
	}
	return l
}
