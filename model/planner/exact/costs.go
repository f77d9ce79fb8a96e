package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// cost is a literal that costs so much where it is true, and the source that it
// is for; ungrouped where it is not for one alone.
type cost struct {
	lit    clause.Lit
	weight int
	source int
}

// costs make the variables that say which plugs of the present patch stay in.
// A patch costs the plugs that are pulled and those that are put in: a cord that
// keeps one end costs two, and each new cord takes over from at most one old.
type costs struct {
	*graph.Graph
	*clause.Solver
	*variables
	// stays says for an old cord's end that its plug stays while the other moves.
	stays map[[2]int]clause.Lit // old cord, jack
	// staysHanging says that the plug in a jack is of an old cord that now hangs.
	staysHanging map[int]clause.Lit
	// gainsEnd says that an old cord that hung from a jack has its other end in now.
	gainsEnd map[int]clause.Lit
	// from says for a jack that the plug which is in there is of an old cord of which the
	// other end moved.
	from map[int]clause.Lit
	// newAt is what a new cord costs that carries a source, by the jack at which it is counted and the
	// source.
	newAt map[[2]int]clause.Lit
	found []cost
	// byPut says that more is pulled than put in. A cord that goes costs two then whatever
	// comes of it, and a new one nothing where it is an old one of which one end moved: what
	// goes in any plan is known at once. Else a new cord costs two, and one that goes
	// nothing where it becomes a new one.
	byPut bool
	// put are the costs of the plugs that are put in, where byPut is true.
	put []cost
	// held are the costs of what is in the bay at the end: two for a cord, one for
	// any other plug.
	held []cost
}

// plugCosts are the plugs handled from the present patch, and those that are in the bay
// at the end, or put in. A new cord is the same cost in both, so that what was learned of
// the one serves the other.
func (e *encoding) plugCosts(byPut bool) *costs {
	c := &costs{
		Graph: e.Graph, Solver: e.Solver, variables: e.variables, byPut: byPut,
		stays: map[[2]int]clause.Lit{}, staysHanging: map[int]clause.Lit{}, gainsEnd: map[int]clause.Lit{}, from: map[int]clause.Lit{}, newAt: map[[2]int]clause.Lit{},
	}
	for i, old := range e.problem.Present.Cords {
		if old[1] == graph.None {
			c.addHanging(i, old[0])
		} else {
			c.addOld(i, old)
		}
	}
	c.oneFromOne()
	c.addNewCords()
	c.addSingles()
	c.addLeads()
	return c
}

// inBay says how many plugs are in the bay at the end. Where none is in before, they are
// those that are handled, and nothing more is to be counted.
func (c *costs) inBay() []cost {
	switch {
	case len(c.problem.Present.Plugs()) == 0:
		return nil
	case c.byPut:
		return c.put
	}
	return c.held
}

func (c *costs) charge(l clause.Lit, weight int) { c.chargeFor(l, weight, ungrouped) }

// holds counts what is in the bay at the end.
func (c *costs) holds(l clause.Lit, weight, source int) {
	if l != clause.False {
		c.held = append(c.held, cost{l, weight, source})
	}
}

// putIn counts a plug that is put in and is no new cord's.
func (c *costs) putIn(l clause.Lit) {
	c.charge(l, 1)
	c.puts(l, 1, ungrouped)
}

// puts counts what is put in.
func (c *costs) puts(l clause.Lit, weight, source int) {
	if l != clause.False {
		c.put = append(c.put, cost{l, weight, source})
	}
}

func (c *costs) chargeFor(l clause.Lit, weight, source int) {
	if l != clause.False {
		c.found = append(c.found, cost{l, weight, source})
	}
}

// addOld: an old cord is where it was, or keeps one end, or hangs, or is gone.
func (c *costs) addOld(i int, old [2]int) {
	whole := []clause.Lit{c.cord(old)}
	for end, j := range old {
		if l := c.addStay(i, j, old[1-end]); l != clause.False {
			whole = append(whole, l)
		}
	}
	half := slices.Clone(whole)
	for _, j := range old {
		if c.loose[j] != clause.False {
			l := c.Var()
			c.Add(l.Not(), c.loose[j])
			c.staysHanging[j] = l
			half = append(half, l)
		}
	}
	clause.AtMostOne(c.Solver, half)
	if whole[0] == clause.True {
		return // it stays
	}
	if c.byPut {
		half = append(whole[:1:1], half[len(whole):]...)
		whole = whole[:1]
	}
	if len(half) == len(whole) {
		gone := c.Var()
		c.Add(append(whole, gone)...)
		c.charge(gone, 2)
		return
	}
	pulled, both := c.Var(), c.Var()
	c.Add(append(whole, pulled)...)
	c.Add(append(half, both)...)
	c.charge(pulled, 1)
	c.charge(both, 1)
}

// addStay makes the literal that says that the plug in j stays and the other
// end goes to another jack that the cord reaches.
func (c *costs) addStay(i, j, other int) clause.Lit {
	lits := c.others(i, j, other)
	if len(lits) == 0 {
		return clause.False
	}
	l := c.Var()
	c.stays[[2]int{i, j}] = l
	c.Add(append(lits, l.Not())...)
	return l
}

// others are the cords from j, other than to the jack named, that the old cord
// would do for.
func (c *costs) others(i, j, except int) []clause.Lit {
	var lits []clause.Lit
	for _, at := range c.cordsAt[j] {
		ends := c.cords[at].ends
		to := ends[0] + ends[1] - j
		if to != except && c.problem.Stock.OldReaches(i, j, to) {
			lits = append(lits, c.cords[at].lit)
		}
	}
	return lits
}

func (c *costs) addHanging(i, j int) {
	kept := []clause.Lit{c.loose[j]}
	if lits := c.others(i, j, graph.None); len(lits) > 0 {
		l := c.Var()
		c.gainsEnd[j] = l
		c.Add(append(lits, l.Not())...)
		kept = append(kept, l)
	}
	gone := c.Var()
	c.Add(append(kept, gone)...)
	c.charge(gone, 1)
}

// oneFromOne: a new cord between two jacks that both had old plugs is made from
// at most one of the old cords.
func (c *costs) oneFromOne() {
	for i, old := range c.problem.Present.Cords {
		for _, j := range old {
			if l, ok := c.stays[[2]int{i, j}]; ok {
				c.from[j] = l
			}
			if l, ok := c.gainsEnd[j]; ok && old[1] == graph.None {
				c.from[j] = l
			}
		}
	}
	for _, v := range c.cords {
		a, okA := c.from[v.ends[0]]
		b, okB := c.from[v.ends[1]]
		if okA && okB {
			c.Add(v.lit.Not(), a.Not(), b.Not())
		}
	}
}

// addSingles counts dummies, and cords that hang, put in and pulled.
func (c *costs) addSingles() {
	old := map[int]bool{}
	for _, j := range c.problem.Present.Dummies {
		old[j] = true
		c.charge(c.dummy[j].Not(), 1)
	}
	hanging := map[int]bool{}
	for _, cord := range c.problem.Present.Cords {
		if cord[1] == graph.None {
			hanging[cord[0]] = true
		}
	}
	for j := range c.Jacks {
		c.holds(c.dummy[j], 1, ungrouped)
		c.holds(c.loose[j], 1, ungrouped)
		if !old[j] {
			c.putIn(c.dummy[j])
		}
		if c.loose[j] == clause.False || hanging[j] {
			continue
		}
		hung, ok := c.staysHanging[j]
		if !ok {
			c.putIn(c.loose[j])
			continue
		}
		fresh := c.Var()
		c.Add(c.loose[j].Not(), hung, fresh)
		c.putIn(fresh)
	}
}

func (c *costs) addLeads() {
	old := map[[2]int]bool{}
	for _, l := range c.problem.Present.Leads {
		old[l] = true
	}
	for _, l := range c.leads {
		c.holds(l.lit, 1, ungrouped)
		if old[[2]int{l.port, l.jack}] {
			c.charge(l.lit.Not(), 1)
			delete(old, [2]int{l.port, l.jack})
			continue
		}
		c.putIn(l.lit)
	}
	for range old {
		c.charge(clause.True, 1)
	}
}
