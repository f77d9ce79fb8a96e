package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// addPlugs makes the variables of everything that can be in a jack.
func (e *encoding) addPlugs() {
	e.dummy = make([]clause.Lit, len(e.Jacks))
	e.loose = make([]clause.Lit, len(e.Jacks))
	e.plug = make([]clause.Lit, len(e.Jacks))
	e.readJacks()
	e.addSingles()
	for i := range e.Jacks {
		for j := i + 1; j < len(e.Jacks); j++ {
			if e.cordMakesSense(i, j) {
				e.addCord(i, j)
			}
		}
	}
	e.addLeads()
	for j := range e.Jacks {
		e.addPlug(j)
	}
	e.limitDummies()
}

// readJacks finds what a plug in each jack could be needed for.
func (e *encoding) readJacks() {
	e.guarding, e.ends = make([]bool, len(e.Jacks)), make([]bool, len(e.Jacks))
	for j := range e.Jacks {
		e.guarding[j], e.ends[j] = e.task.usable(j) && e.task.guards(j), e.task.end(j)
	}
}

// addSingles makes the plugs that only break: dummies and cords that hang.
func (e *encoding) addSingles() {
	kept := map[int]bool{}
	if e.task.options.LeaveCords {
		for _, j := range e.task.present.Dummies {
			kept[j] = true
		}
	}
	hanging := map[int]bool{}
	for _, c := range e.task.present.Cords {
		if c[1] == graph.None {
			hanging[c[0]] = true
		}
	}
	for j := range e.Jacks {
		e.dummy[j], e.loose[j] = clause.False, clause.False
		if e.guarding[j] && e.Studio.Dummies != 0 || kept[j] {
			e.dummy[j] = e.Var()
		}
		mayHang := e.guarding[j] && !e.Nodes[e.Jacks[j].Node].Mic && e.task.stock.reach.anyHangs(j)
		if mayHang || hanging[j] && (e.guarding[j] || e.task.options.LeaveCords) {
			e.loose[j] = e.Var()
		}
	}
}

// cordMakesSense says whether a plan could have a cord between two jacks.
func (e *encoding) cordMakesSense(i, j int) bool {
	if e.task.options.LeaveCords && slices.Contains(e.task.present.Cords, [2]int{i, j}) {
		return true
	}
	if !e.task.usable(i) || !e.task.usable(j) || !e.task.stock.reach.any(i, j) {
		return false
	}
	n, m := e.Jacks[i].Node, e.Jacks[j].Node
	drivesN, drivesM := e.Always(n), e.Always(m)
	possible, carries := false, false
	switch {
	case n == m:
		possible = true
	case len(drivesN) > 0 && len(drivesM) > 0:
		return false
	case len(drivesN) > 0:
		possible = e.driven(m, drivesN[0]) != clause.False
		carries = possible && e.task.useful(drivesN[0]) && e.serves(j, drivesN[0])
	case len(drivesM) > 0:
		possible = e.driven(n, drivesM[0]) != clause.False
		carries = possible && e.task.useful(drivesM[0]) && e.serves(i, drivesM[0])
	default:
		possible = true
		carries = !(e.ends[i] && e.ends[j]) && e.shares(i, j)
	}
	return possible && (carries || e.breaks(i, j))
}

// breaks says whether a cord between two jacks could be in for nothing but what
// its plugs break.
func (e *encoding) breaks(i, j int) bool {
	return e.guarding[i] || e.guarding[j]
}

// serves says whether a signal that arrives at a jack could be of use there.
func (e *encoding) serves(j, driver int) bool {
	n := e.Jacks[j].Node
	if !e.ends[j] || e.task.amplified(n) {
		return true
	}
	s, isSource := e.SourceAt(driver)
	for _, w := range e.task.wantsAt[n] {
		if !isSource || e.SourceOf[e.task.session.Wants[w].Source] == s {
			return true
		}
	}
	return false
}

// shares says whether a useful driver may be on the nodes of both jacks.
func (e *encoding) shares(i, j int) bool {
	m := e.Jacks[j].Node
	for _, k := range e.dom[e.Jacks[i].Node] {
		if e.task.useful(k) && e.driven(m, k) != clause.False && e.serves(i, k) && e.serves(j, k) {
			return true
		}
	}
	return false
}

func (e *encoding) addCord(i, j int) {
	c := cordVar{ends: [2]int{i, j}, lit: e.Var(), charge: j}
	if len(e.Always(e.Jacks[j].Node)) > 0 || e.ends[i] && len(e.Always(e.Jacks[i].Node)) == 0 {
		c.charge = i
	}
	at := len(e.cords)
	e.cords = append(e.cords, c)
	e.cordsAt[i] = append(e.cordsAt[i], at)
	e.cordsAt[j] = append(e.cordsAt[j], at)
}

// cord is the literal of a cord between two jacks.
func (e *encoding) cord(ends [2]int) clause.Lit {
	if ends[1] == graph.None {
		return clause.False
	}
	at, ok := slices.BinarySearchFunc(e.cordsAt[ends[0]], ends[1], func(c, j int) int { return e.across(c, ends[0]) - j })
	if !ok {
		return clause.False
	}
	return e.cords[e.cordsAt[ends[0]][at]].lit
}

// across is the jack at the other end of a cord.
func (e *encoding) across(c, j int) int { return e.cords[c].ends[0] + e.cords[c].ends[1] - j }

// addLeads lets each port that is wired to nothing have one lead.
func (e *encoding) addLeads() {
	for port := range e.Ports {
		if e.task.takesOverWanted(port) {
			continue
		}
		front, asked := e.task.isOverride(port), e.task.askedAt(e.Node[e.Ports[port]])
		var lits []clause.Lit
		for j := range e.Jacks {
			if !e.leadMayBe(port, j, front, asked) {
				continue
			}
			l := leadVar{port, j, e.Var()}
			e.leadsAt[j] = append(e.leadsAt[j], len(e.leads))
			e.leads = append(e.leads, l)
			lits = append(lits, l.lit)
		}
		e.atMostOne(lits)
	}
}

// leadMayBe says whether a plan could have a lead from a port in a jack: for what
// it carries, for the input that it takes over, or, like a cord, for what its plug
// breaks. Front says that it takes over an input, asked that the session asks for
// something there.
func (e *encoding) leadMayBe(port, j int, front, asked bool) bool {
	in := slices.Contains(e.task.present.Leads, [2]int{port, j})
	if e.task.options.LeaveCords && in {
		return true
	}
	if !e.task.usable(j) || !e.GoesTo(port, j) {
		return false
	}
	if front {
		return true
	}
	return e.guarding[j] || asked && e.leadMakesSense(e.Node[e.Ports[port]], e.Jacks[j].Node)
}

// isOverride says whether a lead in a port takes over an input at the rear.
func (t *task) isOverride(port int) bool {
	for _, front := range t.override {
		if front == port {
			return true
		}
	}
	return false
}

// askedAt says whether the session asks for something that stands at a node.
func (t *task) askedAt(n int) bool {
	return len(t.wantsAt[n]) > 0 || slices.ContainsFunc(t.Nodes[n].Sources, t.useful)
}

func (e *encoding) leadMakesSense(port, n int) bool {
	for _, k := range e.dom[port] {
		if e.task.useful(k) && e.driven(n, k) != clause.False {
			return true
		}
	}
	return false
}

// addPlug lets a jack take one plug.
func (e *encoding) addPlug(j int) {
	lits := make([]clause.Lit, 0, 2+len(e.cordsAt[j])+len(e.leadsAt[j]))
	for _, l := range []clause.Lit{e.dummy[j], e.loose[j]} {
		if l != clause.False {
			lits = append(lits, l)
		}
	}
	for _, c := range e.cordsAt[j] {
		lits = append(lits, e.cords[c].lit)
	}
	for _, l := range e.leadsAt[j] {
		lits = append(lits, e.leads[l].lit)
	}
	e.atMostOne(lits)
	e.plug[j] = e.either(lits)
}

// limitDummies allows no more than are owned. Those that are in count as owned.
func (e *encoding) limitDummies() {
	owned := e.Studio.Dummies
	if owned < 0 {
		return
	}
	var lits []clause.Lit
	for _, l := range e.dummy {
		if l != clause.False {
			lits = append(lits, l)
		}
	}
	e.atMost(lits, max(owned, len(e.task.present.Dummies)))
}

// atMost allows k of several, by counting along the list (Sinz 2005).
func (e *encoding) atMost(lits []clause.Lit, k int) {
	if len(lits) <= k {
		return
	}
	before := make([]clause.Lit, k)
	for i := range before {
		before[i] = clause.False
	}
	for i, l := range lits {
		if k == 0 {
			e.Add(l.Not())
			continue
		}
		e.Add(before[k-1].Not(), l.Not())
		if i == len(lits)-1 {
			return
		}
		next := make([]clause.Lit, k)
		for c := range next {
			if c > i {
				next[c] = clause.False
				continue
			}
			next[c] = e.Var()
			e.Add(before[c].Not(), next[c])
			if c == 0 {
				e.Add(l.Not(), next[0])
			} else {
				e.Add(l.Not(), before[c-1].Not(), next[c])
			}
		}
		before = next
	}
}

// addHolds says of each normal whether it holds.
func (e *encoding) addHolds() {
	e.hold = make([]clause.Lit, len(e.Normals))
	for i, n := range e.Normals {
		switch {
		case n.BreaksA && n.BreaksB:
			e.hold[i] = e.either([]clause.Lit{e.plug[n.A], e.plug[n.B]}).Not()
		case n.BreaksA:
			e.hold[i] = e.plug[n.A].Not()
		case n.BreaksB:
			e.hold[i] = e.plug[n.B].Not()
		default:
			e.hold[i] = clause.True
		}
	}
}
