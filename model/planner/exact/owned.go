package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// countOwned lets no answer have more cords than are owned, where so many wants and silences may be left out
// as are said. What the ways of each source take by themselves is found by cuts first, so that only what is
// taken beyond is counted: with that the search sees early that nothing is to spare.
func (e *encoding) countOwned(leftOut int) {
	if e.problem.Stock.Unlimited {
		return
	}
	owned := 0
	for _, n := range e.problem.Stock.Counts {
		owned += n
	}
	o := newOptimum(e.Solver, 0)
	c := &costs{Graph: e.Graph, Solver: e.Solver, variables: e.variables, newAt: map[[2]int]clause.Lit{}}
	c.addCordsIn()
	for _, given := range e.wantLits {
		c.charge(given.Not(), cordsOfOne)
	}
	o.addAll(c.found, handled)
	newCuts(e, o, handled, map[rank]pricing{handled: c.anyCord}).payAll(e.wanted)
	o.allow(owned + cordsOfOne*leftOut - o.least[handled])
}

// cordsOfOne is how many cords a want that is left out is taken for: with one, least is left to be searched.
const cordsOfOne = 1

// addCordsIn counts each cord that is in as one, by the source that comes by it.
func (c *costs) addCordsIn() {
	at := make([][]clause.Lit, len(c.Jacks))
	for _, v := range c.cords {
		at[v.charge] = append(at[v.charge], v.lit)
	}
	for j, cords := range at {
		c.charge(c.loose[j], 1)
		if len(cords) == 0 {
			continue
		}
		for _, one := range c.bySource(j, clause.Either(c.Solver, cords)) {
			c.newAt[[2]int{j, one.source}] = one.lit
			c.chargeFor(one.lit, 1, one.source)
		}
	}
}

// anyCord is what a way pays for the cord that it goes by.
func (c *costs) anyCord(a arc, source int, _ func(clause.Lit) bool) clause.Lit {
	if a.cord == graph.None {
		return clause.False
	}
	return c.ofCord(a.cord, source)
}

// allow lets answers cost so much more than the bound.
func (o *optimum) allow(more int) {
	var left []clause.Lit
	for _, c := range o.priced {
		left = append(left, slices.Repeat([]clause.Lit{c.lit}, max(0, c.weights[handled]))...)
	}
	clause.AtMost(o.Solver, left, more)
}
