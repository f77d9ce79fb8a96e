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
	weights map[clause.Lit]int
	inOrder []clause.Lit // of the costs, in which they were met
	groups  map[clause.Lit]int
	sums    map[clause.Lit]sum
	least   int
	// limit is the work at which the search ends.
	limit int64
	told  func(least int)
	// met is told of each answer on the way to the least one; it says whether
	// the answer stands.
	met func() bool
	// enough says whether something is known already that costs no more than the
	// bound.
	enough func(least int) bool
}

// ungrouped is the group of a cost that is not one source's alone.
const ungrouped = -1

// sum is a place in a counter: the literal that says that at least at+1 of its
// costs are paid.
type sum struct {
	outputs []clause.Lit
	at      int
}

func newOptimum(s *clause.Solver, limit int64) *optimum {
	return &optimum{Solver: s, weights: map[clause.Lit]int{}, groups: map[clause.Lit]int{}, sums: map[clause.Lit]sum{}, limit: limit}
}

// add makes a literal cost something where it is true.
func (o *optimum) add(l clause.Lit, weight, group int) {
	if l == clause.False || weight == 0 {
		return
	}
	if l == clause.True {
		o.least += weight
		return
	}
	if w, ok := o.weights[l.Not()]; ok && w > 0 {
		// One of both is paid in any case.
		both := min(w, weight)
		o.least += both
		o.weights[l.Not()] -= both
		weight -= both
	}
	if _, ok := o.weights[l]; !ok {
		o.inOrder = append(o.inOrder, l)
		o.groups[l] = group
	}
	o.weights[l] += weight
}

// reached says whether the bound is what something costs that is known already.
func (o *optimum) reached() bool { return o.enough != nil && o.enough(o.least) }

// solve raises the bound until there is an answer at it (Yes) or one is known
// (Yes, and reached), there is no answer at all (No), or the work is spent
// (Unknown).
func (o *optimum) solve() clause.Result { return o.raiseBound(nil, o.limit) }

// solveGroups raises the bound by what each group costs at least while all
// others are free. The cores of one group are small, and those of two groups
// have nothing in common.
func (o *optimum) solveGroups(groups []int, share int64) {
	for _, g := range groups {
		if o.reached() {
			return
		}
		within := func(l clause.Lit) bool { return o.groups[l] == g }
		if len(o.assumptions(within)) == 0 {
			continue
		}
		if o.raiseBound(within, min(o.limit, o.Work+share)) == clause.No {
			return
		}
	}
}

// raiseBound raises the bound over some of the costs; over all where within is nil.
// Cores that have nothing in common are taken first; only then are they counted
// on.
func (o *optimum) raiseBound(within func(clause.Lit) bool, limit int64) clause.Result {
	var pending []core
	result := clause.Unknown
	for {
		if o.reached() {
			result = clause.Yes
			break
		}
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
		lits := o.trim(slices.Clone(o.Core()))
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
	weight int
}

// assumptions say that no more is paid than the bound has already.
func (o *optimum) assumptions(within func(clause.Lit) bool) []clause.Lit {
	var lits []clause.Lit
	for _, l := range o.inOrder {
		if o.weights[l] > 0 && (within == nil || within(l)) {
			lits = append(lits, l.Not())
		}
	}
	return lits
}

// guessesToTrim is how many guesses in a row without a clash show that a core
// cannot do without what was left out, or not easily.
const guessesToTrim = 10

// trim makes a core smaller: first by solving under it again, then by leaving
// out parts of it, large ones first, with little work for each.
func (o *optimum) trim(core []clause.Lit) []clause.Lit {
	o.Patience = guessesToTrim
	defer func() { o.Patience = 0 }()
	for len(core) > 1 {
		before := len(core)
		if o.Solve(core, 100000) != clause.No {
			break
		}
		core = slices.Clone(o.Core())
		if len(core) >= before {
			break
		}
	}
	until := o.Work + 3e6
	for part := (len(core) + 1) / 2; part >= 1 && o.Work < until; part /= 2 {
		for i := len(core) - part; i > -part && len(core) > 1; i -= part {
			from := max(i, 0)
			less := slices.Delete(slices.Clone(core), from, min(i+part, len(core)))
			if len(less) > 0 && o.Solve(less, 50000) == clause.No {
				kept := o.Core()
				core = slices.DeleteFunc(core, func(l clause.Lit) bool { return !slices.Contains(kept, l) })
				i = min(i, len(core))
			}
		}
	}
	return core
}

// pay raises the bound by what a core must cost at least.
func (o *optimum) pay(lits []clause.Lit) core {
	least := o.weights[lits[0].Not()]
	for _, l := range lits {
		least = min(least, o.weights[l.Not()])
	}
	o.least += least
	c := core{weight: least}
	for _, l := range lits {
		o.weights[l.Not()] -= least
		c.costs = append(c.costs, l.Not())
	}
	o.Add(c.costs...)
	return c
}

// count makes the costs of a core that are paid beyond the first cost in their
// turn.
func (o *optimum) count(c core) {
	for _, l := range c.costs {
		if s, ok := o.sums[l]; ok && s.at+1 < len(s.outputs) {
			next := s.outputs[s.at+1]
			o.sums[next] = sum{s.outputs, s.at + 1}
			o.add(next, c.weight, o.groups[l])
		}
	}
	if len(c.costs) == 1 {
		return
	}
	outputs := o.total(c.costs)
	o.sums[outputs[1]] = sum{outputs, 1}
	o.add(outputs[1], c.weight, o.groupOf(c.costs))
}

// groupOf is the group that several costs have in common.
func (o *optimum) groupOf(costs []clause.Lit) int {
	group := o.groups[costs[0]]
	for _, l := range costs {
		if o.groups[l] != group {
			return ungrouped
		}
	}
	return group
}

// total makes literals that are true where at least 1, 2, 3 ... of several are.
func (o *optimum) total(lits []clause.Lit) []clause.Lit {
	if len(lits) == 1 {
		return lits
	}
	a, b := o.total(lits[:len(lits)/2]), o.total(lits[len(lits)/2:])
	outputs := make([]clause.Lit, len(lits))
	for i := range outputs {
		outputs[i] = o.Var()
	}
	for i := 0; i <= len(a); i++ {
		for j := 0; j <= len(b); j++ {
			if i+j == 0 {
				continue
			}
			c := []clause.Lit{outputs[i+j-1]}
			if i > 0 {
				c = append(c, a[i-1].Not())
			}
			if j > 0 {
				c = append(c, b[j-1].Not())
			}
			o.Add(c...)
		}
	}
	return outputs
}

// holdTo holds what is searched next to the bound that was reached.
func (o *optimum) holdTo() {
	for _, l := range o.assumptions(nil) {
		o.Add(l)
	}
	o.weights, o.inOrder, o.groups, o.sums = map[clause.Lit]int{}, nil, map[clause.Lit]int{}, map[clause.Lit]sum{}
}
