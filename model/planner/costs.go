package planner

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
	task *task
	enc  *encoding
	// stays says for an old cord's end that its plug stays while the other moves.
	stays map[[2]int]clause.Lit // old cord, jack
	// hung says that the plug in a jack is of an old cord that now hangs.
	staysHanging map[int]clause.Lit
	// grown says that an old cord that hung from a jack has its other end in now.
	gainsEnd map[int]clause.Lit
	found    []cost
	// held are the costs of what is in the bay at the end: two for a cord, one for
	// any other plug.
	held []cost
}

// plugCosts are the plugs handled from the present patch, and those that are in
// the bay at the end. A new cord is the same cost in both, so that what was
// learned of the one serves the other.
func (e *encoding) plugCosts() (handled, held []cost) {
	c := costs{Graph: e.Graph, task: e.task, enc: e, stays: map[[2]int]clause.Lit{}, staysHanging: map[int]clause.Lit{}, gainsEnd: map[int]clause.Lit{}}
	for i, old := range e.task.present.Cords {
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
	return c.found, c.held
}

func (c *costs) charge(l clause.Lit, weight int) { c.chargeFor(l, weight, ungrouped) }

func (c *costs) hold(l clause.Lit, weight, source int) {
	if l != clause.False {
		c.held = append(c.held, cost{l, weight, source})
	}
}

func (c *costs) chargeFor(l clause.Lit, weight, source int) {
	if l != clause.False {
		c.found = append(c.found, cost{l, weight, source})
	}
}

// addOld: an old cord is where it was, or keeps one end, or hangs, or is gone.
func (c *costs) addOld(i int, old [2]int) {
	whole := []clause.Lit{c.enc.cord(old)}
	for end, j := range old {
		if l := c.addStay(i, j, old[1-end]); l != clause.False {
			whole = append(whole, l)
		}
	}
	half := slices.Clone(whole)
	for _, j := range old {
		if c.enc.loose[j] != clause.False {
			l := c.enc.Var()
			c.enc.Add(l.Not(), c.enc.loose[j])
			c.staysHanging[j] = l
			half = append(half, l)
		}
	}
	c.enc.atMostOne(half)
	if len(half) == len(whole) {
		gone := c.enc.Var()
		c.enc.Add(append(whole, gone)...)
		c.charge(gone, 2)
		return
	}
	pulled, both := c.enc.Var(), c.enc.Var()
	c.enc.Add(append(whole, pulled)...)
	c.enc.Add(append(half, both)...)
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
	l := c.enc.Var()
	c.stays[[2]int{i, j}] = l
	c.enc.Add(append(lits, l.Not())...)
	return l
}

// others are the cords from j, other than to the jack named, that the old cord
// would do for.
func (c *costs) others(i, j, except int) []clause.Lit {
	var lits []clause.Lit
	for _, at := range c.enc.cordsAt[j] {
		ends := c.enc.cords[at].ends
		to := ends[0] + ends[1] - j
		if to != except && c.task.oldReaches(i, j, to) {
			lits = append(lits, c.enc.cords[at].lit)
		}
	}
	return lits
}

func (c *costs) addHanging(i, j int) {
	kept := []clause.Lit{c.enc.loose[j]}
	if lits := c.others(i, j, graph.None); len(lits) > 0 {
		l := c.enc.Var()
		c.gainsEnd[j] = l
		c.enc.Add(append(lits, l.Not())...)
		kept = append(kept, l)
	}
	gone := c.enc.Var()
	c.enc.Add(append(kept, gone)...)
	c.charge(gone, 1)
}

// oneFromOne: a new cord between two jacks that both had old plugs is made from
// at most one of the old cords.
func (c *costs) oneFromOne() {
	from := map[int]clause.Lit{}
	for i, old := range c.task.present.Cords {
		for _, j := range old {
			if l, ok := c.stays[[2]int{i, j}]; ok {
				from[j] = l
			}
			if l, ok := c.gainsEnd[j]; ok && old[1] == graph.None {
				from[j] = l
			}
		}
	}
	for _, v := range c.enc.cords {
		a, okA := from[v.ends[0]]
		b, okB := from[v.ends[1]]
		if okA && okB {
			c.enc.Add(v.lit.Not(), a.Not(), b.Not())
		}
	}
}

// addNewCords counts two for each cord that is not where an old one was; one
// where an old one hung there already. The cost is a literal for each jack and
// each source that the cord may carry there, so that the cords that two sources
// need are never counted as one.
func (c *costs) addNewCords() {
	fresh := make([][]clause.Lit, len(c.Jacks))
	for _, v := range c.enc.cords {
		if slices.Contains(c.task.present.Cords, v.ends) {
			c.hold(v.lit, 2, ungrouped)
			continue
		}
		grown := c.grownAt(v.ends)
		if len(grown) == 0 {
			fresh[v.charge] = append(fresh[v.charge], v.lit)
			continue
		}
		// A cord that grows from an old one costs one, any other both halves.
		c.hold(v.lit, 2, ungrouped)
		whole := c.enc.Var()
		c.enc.Add(append(grown, v.lit.Not(), whole)...)
		c.charge(v.lit, 1)
		c.charge(whole, 1)
	}
	for j, lits := range fresh {
		if len(lits) > 0 {
			c.chargeBySource(j, c.enc.either(lits))
		}
	}
}

func (c *costs) chargeBySource(j int, plugged clause.Lit) {
	n := c.Jacks[j].Node
	any := []clause.Lit{plugged.Not()}
	for _, h := range c.enc.heardAt(n) {
		if !c.task.useful(h.source) {
			continue
		}
		l := c.enc.Var()
		c.enc.Add(plugged.Not(), h.lit.Not(), l)
		c.chargeFor(l, 2, h.source)
		c.hold(l, 2, h.source)
		any = append(any, l)
	}
	if len(any) == 1 {
		c.charge(plugged, 2)
		c.hold(plugged, 2, ungrouped)
		return
	}
	other := c.enc.Var()
	c.enc.Add(append(any, other)...)
	c.charge(other, 2)
	c.hold(other, 2, ungrouped)
}

func (c *costs) grownAt(ends [2]int) []clause.Lit {
	var lits []clause.Lit
	for _, j := range ends {
		if l, ok := c.gainsEnd[j]; ok {
			lits = append(lits, l)
		}
	}
	return lits
}

// addSingles counts dummies, and cords that hang, put in and pulled.
func (c *costs) addSingles() {
	old := map[int]bool{}
	for _, j := range c.task.present.Dummies {
		old[j] = true
		c.charge(c.enc.dummy[j].Not(), 1)
	}
	hanging := map[int]bool{}
	for _, cord := range c.task.present.Cords {
		if cord[1] == graph.None {
			hanging[cord[0]] = true
		}
	}
	for j := range c.Jacks {
		c.hold(c.enc.dummy[j], 1, ungrouped)
		c.hold(c.enc.loose[j], 1, ungrouped)
		if !old[j] {
			c.charge(c.enc.dummy[j], 1)
		}
		if c.enc.loose[j] == clause.False || hanging[j] {
			continue
		}
		hung, ok := c.staysHanging[j]
		if !ok {
			c.charge(c.enc.loose[j], 1)
			continue
		}
		fresh := c.enc.Var()
		c.enc.Add(c.enc.loose[j].Not(), hung, fresh)
		c.charge(fresh, 1)
	}
}

func (c *costs) addLeads() {
	old := map[[2]int]bool{}
	for _, l := range c.task.present.Leads {
		old[l] = true
	}
	for _, l := range c.enc.leads {
		c.hold(l.lit, 1, ungrouped)
		if old[[2]int{l.port, l.jack}] {
			c.charge(l.lit.Not(), 1)
			delete(old, [2]int{l.port, l.jack})
			continue
		}
		c.charge(l.lit, 1)
	}
	for range old {
		c.charge(clause.True, 1)
	}
}
