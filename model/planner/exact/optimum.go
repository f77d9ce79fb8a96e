package exact

import (
	"slices"

	"bayhand/model/planner/clause"
)

// optimum finds the least total of costs by cores: sets of costs of which at
// least one must be paid. Each core that is found raises the bound by its least
// weight, and is replaced by counters that say how many more of it must be paid
// (the OLL method of Andres, Kaufmann, Matheis and Schaub 2012, with the
// totalizers of Bailleux and Boufkhad 2003). The bound is always sound: it never
// passes the least total of an answer.
type optimum struct {
	*clause.Solver
	// priced are the literals that cost something, in the order in which they were met, places
	// theirs among them by literal, from 1.
	priced []priced
	places []int32
	sums   map[clause.Lit]sum
	least  weights
	// rank is the last one that is looked at.
	rank rank
	// limit is the work at which the search ends.
	limit int64
	told  func(least weights)
	// met is told of each answer on the way to the least one; it says whether
	// the answer stands.
	met func() bool
	// improves is what an answer has to cost less than to be of use.
	improves func() weights
	// enough says whether something is known already that costs no more than the
	// bound.
	enough func(least weights) bool
}

// priced is a literal that costs something where it is true.
type priced struct {
	lit     clause.Lit
	weights weights
	group   int
}

// ungrouped is the group of a cost that is not one source's alone.
const ungrouped = -1

// sum is a place in a counter: the literal that says that at least so many of its costs
// are paid.
type sum struct {
	*counter
	least int
}

func newOptimum(s *clause.Solver, limit int64) *optimum {
	return &optimum{Solver: s, sums: map[clause.Lit]sum{}, rank: lastRank, limit: limit}
}

// addAll makes costs of one rank count.
func (o *optimum) addAll(costs []cost, r rank) {
	for _, c := range costs {
		o.add(c.lit, weighing(r, c.weight), c.source)
	}
}

// add makes a literal cost something where it is true.
func (o *optimum) add(l clause.Lit, w weights, group int) {
	if l == clause.False || w == (weights{}) {
		return
	}
	if l == clause.True {
		o.least = o.least.plus(w)
		return
	}
	// Of a literal and its negation one is paid in any case.
	if not := o.costOf(l.Not()); not != nil {
		both := w.common(not.weights)
		o.least, not.weights, w = o.least.plus(both), not.weights.minus(both), w.minus(both)
	}
	if c := o.costOf(l); c != nil {
		c.weights = c.weights.plus(w)
		return
	}
	o.priced = append(o.priced, priced{l, w, group})
	if more := int(l) + 1 - len(o.places); more > 0 {
		o.places = append(o.places, make([]int32, more)...)
	}
	o.places[l] = int32(len(o.priced))
}

// costOf is a literal that costs something, or did; nil for another.
func (o *optimum) costOf(l clause.Lit) *priced {
	if int(l) >= len(o.places) || o.places[l] == 0 {
		return nil
	}
	return &o.priced[o.places[l]-1]
}

// reached says whether the bound is what something costs that is known already.
func (o *optimum) reached() bool { return o.enough != nil && o.enough(o.least) }

// solve raises the bound until there is an answer at it (Yes) or one is known
// (Yes, and reached), there is no answer at all (No), or the work is spent
// (Unknown).
func (o *optimum) solve() clause.Result { return o.raiseBound(nil, o.limit) }

// solveGroups raises the bound by what each group costs at least while all
// others are free. The cores of one group are small, and those of two groups
// have nothing in common. The answer for one group may have nothing of the next.
func (o *optimum) solveGroups(groups []int, share int64) {
	answered := false
	for _, g := range groups {
		if o.reached() {
			return
		}
		within := func(c *priced) bool { return c.group == g }
		lits := o.assumptions(within)
		if !slices.ContainsFunc(lits, func(l clause.Lit) bool { return !answered || !o.Value(l) }) {
			continue
		}
		switch o.raiseBound(within, min(o.limit, o.Work+share)) {
		case clause.No:
			return
		case clause.Yes:
			answered = true
		case clause.Unknown:
		}
	}
}

// raiseBound raises the bound over some of the costs; over all where within is nil.
// Cores that have nothing in common are taken first; only then are they counted
// on.
func (o *optimum) raiseBound(within func(*priced) bool, limit int64) clause.Result {
	var pending []core
	result := clause.Unknown
	for {
		before := o.Work
		if o.reached() {
			result = clause.Yes
			break
		}
		o.harden()
		result = o.Solve(o.assumptions(within), max(0, limit-o.Work))
		if result == clause.Unknown || result == clause.Yes && len(pending) == 0 {
			break
		}
		if result == clause.Yes {
			if within == nil && o.met != nil && !o.met() {
				continue
			}
			for _, c := range pending {
				o.count(c)
			}
			pending = nil
			continue
		}
		lits := slices.Clone(o.Core())
		if len(lits) > 1 && (o.enough == nil || !o.enough(o.least.plus(o.weightOf(lits)))) {
			lits = o.trim(lits, min(mostToTrim, leastToTrim+o.Work-before))
		}
		if len(lits) == 0 {
			return clause.No
		}
		pending = append(pending, o.pay(lits))
		if o.told != nil {
			o.told(o.least)
		}
	}
	for _, c := range pending {
		o.count(c)
	}
	return result
}

// core is a set of costs of which one must be paid, by how much it raised the
// bound.
type core struct {
	costs  []clause.Lit
	weight weights
}

// assumptions say that no more is paid than the bound has already.
func (o *optimum) assumptions(within func(*priced) bool) []clause.Lit {
	var lits []clause.Lit
	for i := range o.priced {
		if c := &o.priced[i]; c.weights.until(o.rank) && (within == nil || within(c)) {
			lits = append(lits, c.lit.Not())
		}
	}
	return lits
}

// leastToTrim and mostToTrim bound the work to make a core smaller, which is as much as it
// took to find the core, in looks at a literal.
const (
	leastToTrim = 200e3
	mostToTrim  = 3e6
)

// guessesToTrim is how many guesses in a row without a clash show that a core
// cannot do without what was left out, or not easily.
const guessesToTrim = 10

// triesToTrim is how many parts in a row a core could not do without until it is left as it is.
const triesToTrim = 6

// trim makes a core smaller: first by solving under it again, then by leaving
// out parts of it, large ones first, with little work for each and so much for all, as long as
// that helps.
func (o *optimum) trim(core []clause.Lit, work int64) []clause.Lit {
	o.Patience = guessesToTrim
	defer func() { o.Patience = 0 }()
	for len(core) > 1 {
		size := len(core)
		if o.Solve(core, 100000) != clause.No {
			break
		}
		core = slices.Clone(o.Core())
		if len(core) >= size {
			break
		}
	}
	until, failed := o.Work+work, 0
	for part := (len(core) + 1) / 2; part >= 1 && o.Work < until; part /= 2 {
		for i := len(core) - part; i > -part && len(core) > 1; i -= part {
			if failed > triesToTrim {
				return core
			}
			failed++
			from := max(i, 0)
			less := slices.Delete(slices.Clone(core), from, min(i+part, len(core)))
			if len(less) > 0 && o.Solve(less, 50000) == clause.No {
				failed = 0
				kept := o.Core()
				core = slices.DeleteFunc(core, func(l clause.Lit) bool { return !slices.Contains(kept, l) })
				i = min(i, len(core))
			}
		}
	}
	return core
}

// weightOf is what a core must cost at least.
func (o *optimum) weightOf(lits []clause.Lit) weights {
	least := o.costOf(lits[0].Not()).weights
	for _, l := range lits {
		least = least.common(o.costOf(l.Not()).weights)
	}
	return least
}

// payKnown raises the bound by the costs that every answer has, as the clauses say by themselves.
func (o *optimum) payKnown() {
	clause.Propagate(o.Solver)
	for i := 0; i < len(o.priced); i++ {
		if c := o.priced[i]; c.weights.until(o.rank) && clause.Never(o.Solver, c.lit.Not()) {
			o.count(o.pay([]clause.Lit{c.lit.Not()}))
		}
	}
}

// pay raises the bound by what a core must cost at least.
func (o *optimum) pay(lits []clause.Lit) core {
	c := core{weight: o.weightOf(lits)}
	o.least = o.least.plus(c.weight)
	for _, l := range lits {
		cost := o.costOf(l.Not())
		cost.weights = cost.weights.minus(c.weight)
		c.costs = append(c.costs, l.Not())
	}
	o.Add(c.costs...)
	return c
}

// count makes the costs of a core that are paid beyond the first cost in their
// turn.
func (o *optimum) count(c core) {
	for _, l := range c.costs {
		if s, ok := o.sums[l]; ok && s.least < s.size {
			o.charge(sum{s.counter, s.least + 1}, c.weight, o.costOf(l).group)
		}
	}
	if len(c.costs) > 1 {
		o.charge(sum{newCounter(o.Solver, c.costs), 2}, c.weight, o.groupOf(c.costs))
	}
}

// charge makes it cost something that so many of a core's costs are paid.
func (o *optimum) charge(s sum, w weights, group int) {
	l := s.atLeast(s.least)
	o.sums[l] = s
	o.add(l, w, group)
}

// groupOf is the group that several costs have in common.
func (o *optimum) groupOf(costs []clause.Lit) int {
	group := o.costOf(costs[0]).group
	for _, l := range costs {
		if o.costOf(l).group != group {
			return ungrouped
		}
	}
	return group
}

// holdTo holds what is searched next to the bound that was reached.
func (o *optimum) holdTo() {
	for i := range o.priced {
		if c := &o.priced[i]; c.weights.until(o.rank) {
			o.forbid(c)
		}
	}
}

// harden forbids each cost that would bring an answer to what has to be cost less than
// (Ansotegui, Bonet, Gabas and Levy 2012, "Improving SAT-based weighted MaxSAT solvers").
func (o *optimum) harden() {
	if o.improves == nil {
		return
	}
	most := o.improves()
	for i := range o.priced {
		if c := &o.priced[i]; c.weights != (weights{}) && o.least.plus(c.weights).compare(most) >= 0 {
			o.forbid(c)
		}
	}
}

// forbid makes a cost one that no answer has.
func (o *optimum) forbid(c *priced) {
	c.weights = weights{}
	o.Add(c.lit.Not())
}
