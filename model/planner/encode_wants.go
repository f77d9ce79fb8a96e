package planner

import (
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// addWants says what the session asks.
func (e *encoding) addWants() {
	choice := func() clause.Lit {
		if e.soft {
			return e.Var()
		}
		return clause.True
	}
	e.wantLits = make([]clause.Lit, len(e.task.session.Wants))
	for i, w := range e.task.session.Wants {
		e.wantLits[i] = choice()
		at, s := e.Number[w.Destination], e.SourceOf[w.Source]
		e.Add(e.wantLits[i].Not(), e.hear(e.Node[at], s))
	}
	hush := map[int]clause.Lit{}
	e.hushLits = make([]clause.Lit, len(e.task.session.Silent))
	for i, p := range e.task.session.Silent {
		e.hushLits[i] = choice()
		at, ok := e.Number[p]
		if !ok {
			continue
		}
		hush[at] = e.hushLits[i]
		if _, ok := e.task.override[at]; ok && !e.soft {
			continue // see addFronts
		}
		for _, l := range e.heardAt(e.Node[at]) {
			e.Add(e.hushLits[i].Not(), l.lit.Not())
		}
	}
	if e.soft {
		e.addDropped(hush)
	}
}

// addTakeovers lets an input that could be taken over from the front hear what it
// must not only where a lead is in the socket there.
func (e *encoding) addTakeovers() {
	for _, in := range slices.Sorted(maps.Keys(e.task.override)) {
		if len(e.task.asks[in].wants) > 0 {
			continue
		}
		var taken []clause.Lit
		for _, l := range e.leads {
			if l.port == e.task.override[in] {
				taken = append(taken, l.lit)
			}
		}
		for _, h := range e.heardAt(e.Node[in]) {
			if !e.task.acceptsItself(in, h.source, e.soft) {
				e.Add(append([]clause.Lit{h.lit.Not()}, taken...)...)
			}
		}
	}
}

type heardLit struct {
	source int
	lit    clause.Lit
}

// heardAt are the sources that may be heard at a node, in order.
func (e *encoding) heardAt(n int) []heardLit {
	var all []heardLit
	for s := range e.Sources {
		if l := e.hear(n, s); l != clause.False {
			all = append(all, heardLit{s, l})
		}
	}
	return all
}

// addDropped says what a destination may hear whose wants are all dropped: what
// it may when the session does not name it.
func (e *encoding) addDropped(hush map[int]clause.Lit) {
	for in, a := range e.task.asks {
		if !a.named() {
			continue
		}
		for _, h := range e.heardAt(e.Node[in]) {
			if a.anything || slices.Contains(a.may, h.source) {
				continue
			}
			allowed := []clause.Lit{h.lit.Not()}
			for _, w := range a.wants {
				if e.SourceOf[e.task.session.Wants[w].Source] == h.source {
					allowed = append(allowed, e.wantLits[w])
				}
			}
			e.Add(allowed...)
		}
	}
	_ = hush
}

// addNeeds says of each thing that a plan has something without which it would
// not be needed. These are necessary conditions only.
func (e *encoding) addNeeds() {
	if e.task.options.LeaveCords {
		return
	}
	for j := range e.Jacks {
		for _, l := range []clause.Lit{e.dummy[j], e.loose[j]} {
			if l != clause.False {
				e.addBreakNeed(l, j)
			}
		}
	}
	for _, c := range e.cords {
		e.addCordNeed(c)
	}
	for i, o := range e.Outputs {
		if o.Relay {
			for _, x := range o.Crosses {
				e.addRelayNeed(x)
			}
			continue
		}
		e.addOutputNeed(i)
	}
}

// addBreakNeed: a plug that only breaks breaks something that would otherwise
// hold, and on one side of it there is a driver.
func (e *encoding) addBreakNeed(l clause.Lit, j int) {
	var broken []int
	for _, m := range e.Jacks[j].Normals {
		if e.Normals[m].Breaks(j) && e.task.worthBreaking(e.Normals[m], j) {
			broken = append(broken, m)
		}
	}
	if len(broken) != 1 {
		return
	}
	m := e.Normals[broken[0]]
	other := m.A + m.B - j
	if m.Breaks(other) {
		e.Add(l.Not(), e.plug[other].Not())
	}
	a, b := e.Jacks[m.A].Node, e.Jacks[m.B].Node
	drivesA, drivesB := e.Always(a), e.Always(b)
	switch {
	case len(drivesA)+len(drivesB) == 0:
		e.Add(l.Not(), e.alive(a), e.alive(b))
	case len(drivesB) == 0 && e.task.onlyByNormal(m, m.B, j):
		e.addForbidden(l, drivesA[0], b)
	case len(drivesA) == 0 && e.task.onlyByNormal(m, m.A, j):
		e.addForbidden(l, drivesB[0], a)
	}
}

// addMinded: an amplifier that is kept away from an input carries something
// that the input must not hear.
func (e *encoding) addForbidden(l clause.Lit, driver, n int) {
	if _, ok := e.SourceAt(driver); ok {
		return
	}
	minded := []clause.Lit{l.Not()}
	for _, s := range e.task.wanted {
		if e.task.forbids(n, s) {
			minded = append(minded, e.carries[e.Amplifier(driver)][s])
		}
	}
	e.Add(minded...)
}

// addCordNeed: a cord that guards nothing carries something useful, and where
// it ends at the input of an amplifier or on a node that leads on, something
// takes it from there.
func (e *encoding) addCordNeed(c cordVar) {
	i, j := c.ends[0], c.ends[1]
	if e.breaks(i, j) {
		return
	}
	n, m := e.Jacks[i].Node, e.Jacks[j].Node
	e.addUsefulDriver(c.lit, n)
	if len(e.Always(n)) == 0 {
		e.addTaken(c.lit, n, i)
	}
	if len(e.Always(m)) == 0 {
		e.addTaken(c.lit, m, j)
	}
}

// addUsefulDriver: where l is true, a node has a driver that can carry what the
// session asks for.
func (e *encoding) addUsefulDriver(l clause.Lit, n int) {
	if e.fruitful[n] == 0 {
		var lits []clause.Lit
		for i, k := range e.dom[n] {
			if e.task.useful(k) {
				lits = append(lits, e.drive[n][i])
			}
		}
		e.fruitful[n] = e.some(lits)
	}
	e.Add(l.Not(), e.fruitful[n])
}

// addTaken: a node at the end of a cord drives itself, or a destination there
// asks for something, or another way leads on from it than by the jack that the
// cord is in.
func (e *encoding) addTaken(l clause.Lit, n, jack int) {
	if len(e.task.wantsAt[n]) > 0 || e.task.floats(n) {
		return
	}
	if e.onward[n] == nil {
		e.onward[n] = e.waysOn(n)
	}
	lits := []clause.Lit{l.Not()}
	for at, way := range e.onward[n] {
		if at == len(e.Nodes[n].Jacks) || e.Nodes[n].Jacks[at] != jack {
			lits = append(lits, way)
		}
	}
	e.Add(lits...)
}

// waysOn makes a literal for each jack of a node that is true only where a cord
// or lead leads on from there, and one for all other ways on.
func (e *encoding) waysOn(n int) []clause.Lit {
	jacks := e.Nodes[n].Jacks
	lits := make([][]clause.Lit, len(jacks)+1)
	for _, edge := range e.edges[n] {
		at := len(jacks)
		if edge.jack != graph.None {
			at = slices.Index(jacks, edge.jack)
		}
		lits[at] = append(lits[at], edge.lit)
	}
	lits[len(jacks)] = append(lits[len(jacks)], e.amplifiersAt(n)...)
	ways := make([]clause.Lit, len(lits))
	for i := range lits {
		ways[i] = e.some(lits[i])
	}
	return ways
}

// amplifiersAt are the crosspoints by which amplifiers listen to a node.
func (e *encoding) amplifiersAt(n int) []clause.Lit {
	var lits []clause.Lit
	for _, x := range e.Nodes[n].Ins {
		if !e.Outputs[e.Crosses[x].Output].Relay && e.closed[x] != clause.False {
			lits = append(lits, e.closed[x])
		}
	}
	return lits
}

func (e *encoding) addRelayNeed(x int) {
	if e.closed[x] == clause.False || len(e.Ganged[x]) > 0 {
		return
	}
	c := e.Crosses[x]
	e.addUsefulDriver(e.closed[x], c.From)
	for _, n := range []int{c.From, e.Outputs[c.Output].Node} {
		if len(e.Always(n)) == 0 {
			e.addTakenFrom(e.closed[x], n)
		}
	}
}

// addTakenFrom is addTaken for a crosspoint of a relay.
func (e *encoding) addTakenFrom(l clause.Lit, n int) {
	if len(e.task.wantsAt[n]) > 0 || e.task.floats(n) {
		return
	}
	lits := append(e.amplifiersAt(n), l.Not())
	for _, edge := range e.edges[n] {
		if edge.lit != l {
			lits = append(lits, edge.lit)
		}
	}
	e.Add(lits...)
}

// addOutputNeed: the output of an amplifier that is on comes to a destination
// that asks for something, or to another matrix.
func (e *encoding) addOutputNeed(o int) {
	if e.IsGanged(o) {
		return
	}
	lits := []clause.Lit{e.on[o].Not()}
	for n := range e.Nodes {
		if l := e.driven(n, e.Outputs[o].Driver); l != clause.False && (len(e.task.wantsAt[n]) > 0 || e.task.amplified(n)) {
			lits = append(lits, l)
		}
	}
	e.Add(lits...)
}
