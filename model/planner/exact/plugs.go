package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
)

// plugs make the literals of everything that can be in a jack.
type plugs struct {
	*graph.Graph
	*clause.Solver
	*variables
}

// add makes them all.
func (e *plugs) add() {
	e.dummy = make([]clause.Lit, len(e.Jacks))
	e.loose = make([]clause.Lit, len(e.Jacks))
	e.plug = make([]clause.Lit, len(e.Jacks))
	e.readJacks()
	e.addSingles()
	e.addCords()
	e.addLeads()
	e.onePlugInLoose()
	for j := range e.Jacks {
		e.addPlug(j)
	}
	e.limitDummies()
	e.addHolds()
}

// addCords makes the cords that could be in. One outside the window is in, or is none.
func (e *plugs) addCords() {
	for i := range e.Jacks {
		if !e.window.frees(i) {
			if c := e.window.at[i]; c.Kind == graph.Cord && c.B > i {
				e.addCord(i, c.B, clause.True)
			}
			continue
		}
		for j := i + 1; j < len(e.Jacks); j++ {
			if e.window.frees(j) && e.cordMakesSense(i, j) {
				e.addCord(i, j, e.Var())
			}
		}
	}
}

// readJacks finds what a plug in each jack could be needed for.
func (e *plugs) readJacks() {
	e.guarding, e.ends = make([]bool, len(e.Jacks)), make([]bool, len(e.Jacks))
	for j := range e.Jacks {
		e.guarding[j], e.ends[j] = e.problem.Usable(j) && e.problem.Guards(j), e.problem.EndsAt(j)
	}
}

// addSingles makes the plugs that only break: dummies and cords that hang.
func (e *plugs) addSingles() {
	kept := map[int]bool{}
	if e.problem.Options.LeaveCords {
		for _, j := range e.problem.Present.Dummies {
			kept[j] = true
		}
	}
	hanging := map[int]bool{}
	for _, c := range e.problem.Present.Cords {
		if c[1] == graph.None {
			hanging[c[0]] = true
		}
	}
	for j := range e.Jacks {
		if !e.window.frees(j) {
			e.dummy[j] = constant(e.window.at[j].Kind == graph.Dummy)
			e.loose[j] = constant(e.window.at[j] == graph.Part{Kind: graph.Cord, A: j, B: graph.None})
			continue
		}
		e.dummy[j], e.loose[j] = clause.False, clause.False
		if e.guarding[j] && e.problem.Dummies != 0 || kept[j] {
			e.dummy[j] = e.Var()
		}
		mayHang := e.guarding[j] && !e.Nodes[e.Jacks[j].Node].Mic && e.problem.Stock.AnyHangs(j)
		if mayHang || hanging[j] && (e.guarding[j] || e.problem.Options.LeaveCords) {
			e.loose[j] = e.Var()
		}
	}
}

// cordMakesSense says whether a plan could have a cord between two jacks: for what it
// carries. What only breaks is a dummy, or a cord that hangs from one jack.
func (e *plugs) cordMakesSense(i, j int) bool {
	if e.problem.Options.LeaveCords && slices.Contains(e.problem.Present.Cords, [2]int{i, j}) {
		return true
	}
	if !e.problem.Usable(i) || !e.problem.Usable(j) || !e.problem.Stock.Any(i, j) || !e.narrowed.MayHaveCord(i, j) && !slices.Contains(e.problem.Present.Cords, [2]int{i, j}) {
		return false
	}
	n, m := e.Jacks[i].Node, e.Jacks[j].Node
	drivesN, drivesM := e.Always(n), e.Always(m)
	switch {
	case n == m || len(drivesN) > 0 && len(drivesM) > 0:
		return false
	case len(drivesN) > 0:
		return e.driven(m, drivesN[0]) != clause.False && e.problem.Useful(drivesN[0]) && e.serves(j, drivesN[0])
	case len(drivesM) > 0:
		return e.driven(n, drivesM[0]) != clause.False && e.problem.Useful(drivesM[0]) && e.serves(i, drivesM[0])
	}
	return !(e.ends[i] && e.ends[j]) && e.shares(i, j)
}

// serves says whether a signal that arrives at a jack could be of use there.
func (e *plugs) serves(j, driver int) bool {
	n := e.Jacks[j].Node
	if !e.ends[j] || e.problem.Amplified(n) {
		return true
	}
	s, isSource := e.SourceAt(driver)
	for _, w := range e.problem.WantsAt[n] {
		if !isSource || e.SourceOf[e.problem.Session.Wants[w].Source] == s {
			return true
		}
	}
	return false
}

// shares says whether a useful driver may be on the nodes of both jacks.
func (e *plugs) shares(i, j int) bool {
	m := e.Jacks[j].Node
	for _, k := range e.dom[e.Jacks[i].Node] {
		if e.problem.Useful(k) && e.driven(m, k) != clause.False && e.serves(i, k) && e.serves(j, k) {
			return true
		}
	}
	return false
}

func (e *plugs) addCord(i, j int, l clause.Lit) {
	c := cordVar{ends: [2]int{i, j}, lit: l, charge: j}
	if len(e.Always(e.Jacks[j].Node)) > 0 || e.ends[i] && len(e.Always(e.Jacks[i].Node)) == 0 {
		c.charge = i
	}
	at := len(e.cords)
	e.cords = append(e.cords, c)
	e.cordsAt[i] = append(e.cordsAt[i], at)
	e.cordsAt[j] = append(e.cordsAt[j], at)
}

// addLeads lets each port that is wired to nothing have one lead.
func (e *plugs) addLeads() {
	for port := range e.Ports {
		if takesOverWanted(e.problem, port) {
			continue
		}
		front, asked := len(e.Overridden[e.Ports[port]]) > 0, askedAt(e.problem, e.Node[e.Ports[port]])
		var lits []clause.Lit
		for j := range e.Jacks {
			if !e.leadMayBe(port, j, front, asked) {
				continue
			}
			l := leadVar{port, j, clause.True}
			if e.window.frees(j) {
				l.lit = e.Var()
			}
			e.leadsAt[j] = append(e.leadsAt[j], len(e.leads))
			e.leads = append(e.leads, l)
			lits = append(lits, l.lit)
		}
		clause.AtMostOne(e.Solver, lits)
	}
}

// onePlugInLoose lets the input of loose gear, which is a port and a socket, have one
// plug.
func (e *plugs) onePlugInLoose() {
	for port := range e.Ports {
		j := e.LooseJack(port)
		if j == graph.None {
			continue
		}
		var lits []clause.Lit
		for _, l := range e.leads {
			if l.port == port || l.jack == j {
				lits = append(lits, l.lit)
			}
		}
		clause.AtMostOne(e.Solver, lits)
	}
}

// leadMayBe says whether a plan could have a lead from a port in a jack: for what
// it carries, or for the input that it takes over. Front says that it takes over an input, asked that the session asks for
// something there.
func (e *plugs) leadMayBe(port, j int, front, asked bool) bool {
	if !e.window.frees(j) || !e.window.freesPort(port) {
		return e.window.holds(graph.Part{Kind: graph.Lead, A: port, B: j})
	}
	in := slices.Contains(e.problem.Present.Leads, [2]int{port, j})
	if e.problem.Options.LeaveCords && in {
		return true
	}
	if !e.problem.Usable(j) || !e.problem.Stock.LeadGoes(port, j) {
		return false
	}
	return front || asked && e.leadMakesSense(e.Node[e.Ports[port]], e.Jacks[j].Node)
}

// askedAt says whether the session asks for something that stands at a node.
func askedAt(t *problem.Problem, n int) bool {
	return len(t.WantsAt[n]) > 0 || slices.ContainsFunc(t.Nodes[n].Sources, t.Useful)
}

func (e *plugs) leadMakesSense(port, n int) bool {
	for _, k := range e.dom[port] {
		if e.problem.Useful(k) && e.driven(n, k) != clause.False {
			return true
		}
	}
	return false
}

// addPlug lets a jack take one plug.
func (e *plugs) addPlug(j int) {
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
	clause.AtMostOne(e.Solver, lits)
	e.plug[j] = clause.Either(e.Solver, lits)
}

// limitDummies allows no more than are owned. Those that are in count as owned.
func (e *plugs) limitDummies() {
	owned := e.problem.Dummies
	if owned < 0 {
		return
	}
	var lits []clause.Lit
	for _, l := range e.dummy {
		if l != clause.False {
			lits = append(lits, l)
		}
	}
	clause.AtMost(e.Solver, lits, owned)
}

// addHolds says of each normal whether it holds.
func (e *plugs) addHolds() {
	e.hold = make([]clause.Lit, len(e.Normals))
	for i, n := range e.Normals {
		switch {
		case n.BreaksA && n.BreaksB:
			e.hold[i] = clause.Either(e.Solver, []clause.Lit{e.plug[n.A], e.plug[n.B]}).Not()
		case n.BreaksA:
			e.hold[i] = e.plug[n.A].Not()
		case n.BreaksB:
			e.hold[i] = e.plug[n.B].Not()
		default:
			e.hold[i] = clause.True
		}
	}
}

// takesOverWanted says whether a lead in a port takes over an input that the session asks
// to hear something.
func takesOverWanted(t *problem.Problem, port int) bool {
	return slices.ContainsFunc(t.Overridden[t.Ports[port]], func(in int) bool { return len(t.Asks[in].Wants) > 0 })
}
