package exact

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
)

// cuts finds sets of costs of which a source's ways pay one at least, whatever the others do: those
// of all that leads into the nodes from which a destination can be reached for nothing. They are
// paid as far as the least of them goes, and the next set is looked for with what is left of
// them (the dual ascent of Wong 1984, "A dual ascent approach for Steiner tree problems on a
// directed graph"). The search would find such cores too, by one clash after the other.
type cuts struct {
	enc     *encoding
	optimum *optimum
	rank    rank
	price   pricing
	// before is what ways pay of the ranks before, of which nothing more may be paid than is.
	before []pricing
	// into are the arcs to each node.
	into [][]arc
	// inside are the nodes from which the destination is reached for nothing, in queue as well; border
	// is what leads there and is to be paid.
	inside []bool
	queue  []int
	border []toPay
}

// pricing is a literal of what a way pays that brings a source by an arc; False for nothing. Left says
// whether something of a literal's cost is left to pay.
type pricing func(a arc, source int, left func(clause.Lit) bool) clause.Lit

// toPay is what is to be paid by a way from a node.
type toPay struct {
	from int
	lit  clause.Lit
}

// arc leads to a node from another: over metal, by a cord, lead or relay or by none of them, or
// through an amplifier. What it does not go by is None, or True for the lead.
type arc struct {
	from, cord, output, cross, jack int
	lead                            clause.Lit
}

// newCuts makes what cuts of a rank are found by, from what ways pay by rank.
func newCuts(e *encoding, o *optimum, r rank, pays map[rank]pricing) *cuts {
	k := &cuts{enc: e, optimum: o, rank: r, price: pays[r], into: make([][]arc, len(e.Nodes)), inside: make([]bool, len(e.Nodes))}
	for before := range r {
		if price := pays[before]; price != nil {
			k.before = append(k.before, price)
		}
	}
	wire := arc{cord: graph.None, output: graph.None, cross: graph.None, jack: graph.None, lead: clause.True}
	for at, c := range e.cords {
		a := wire
		a.cord = at
		k.join(a, e.Jacks[c.ends[0]].Node, e.Jacks[c.ends[1]].Node)
	}
	for _, l := range e.leads {
		a := wire
		a.lead, a.jack = l.lit, l.jack
		k.join(a, e.Node[e.Ports[l.port]], e.Jacks[l.jack].Node)
	}
	for i, n := range e.Normals {
		if !clause.Never(e.Solver, e.hold[i]) {
			k.join(wire, e.Jacks[n.A].Node, e.Jacks[n.B].Node)
		}
	}
	for x, c := range e.Crosses {
		if clause.Never(e.Solver, e.closed[x]) {
			continue
		}
		a := wire
		a.cross = x
		if e.Outputs[c.Output].Relay {
			k.join(a, c.From, e.Outputs[c.Output].Node)
			continue
		}
		a.from, a.output = c.From, c.Output
		k.into[e.Outputs[c.Output].Node] = append(k.into[e.Outputs[c.Output].Node], a)
	}
	return k
}

// join adds an arc over metal in both directions.
func (k *cuts) join(a arc, n, m int) {
	if n == m {
		return
	}
	a.from = n
	k.into[m] = append(k.into[m], a)
	a.from = m
	k.into[n] = append(k.into[n], a)
}

// payAll pays all cuts of some sources, those of each with the fewest costs first: a search finds
// more out by small ones.
func (k *cuts) payAll(sources []int) {
	for _, s := range sources {
		for lits := k.smallest(s); len(lits) > 0; lits = k.smallest(s) {
			k.optimum.count(k.optimum.pay(lits))
		}
	}
}

// smallest is the cut with the fewest costs that is left around a destination of a source, as
// assumptions that they are not paid; nil for none.
func (k *cuts) smallest(source int) []clause.Lit {
	var least []clause.Lit
	for _, to := range k.destinations(source) {
		lits := k.around(source, to.node)
		if len(lits) > 0 && to.given != clause.True {
			lits = append(lits, to.given)
		}
		if len(lits) > 0 && (least == nil || len(lits) < len(least)) {
			least = lits
		}
	}
	return least
}

// destination is a node at which a source is wanted. Given is true where it is given what it wants.
type destination struct {
	node  int
	given clause.Lit
}

// destinations are those of a source, without such as may be left out for nothing.
func (k *cuts) destinations(source int) []destination {
	var all []destination
	for i, w := range k.enc.problem.Session.Wants {
		given := k.enc.wantLits[i]
		if k.enc.SourceOf[w.Source] == source && (given == clause.True || k.isLeft(given.Not())) {
			all = append(all, destination{k.enc.Node[k.enc.Number[w.Destination]], given})
		}
	}
	slices.SortStableFunc(all, func(a, b destination) int { return a.node - b.node })
	return slices.CompactFunc(all, func(a, b destination) bool { return a.node == b.node })
}

// around are the costs of all that leads into the nodes from which one can be reached for nothing, as
// assumptions that they are not paid; nil where the source is at one of them.
func (k *cuts) around(source, to int) []clause.Lit {
	for _, n := range k.queue {
		k.inside[n] = false
	}
	k.inside[to], k.queue, k.border = true, append(k.queue[:0], to), k.border[:0]
	for i := 0; i < len(k.queue); i++ {
		n := k.queue[i]
		if n == k.enc.DriverNode(source) || k.enc.hear(n, source) == clause.True {
			return nil
		}
		for _, a := range k.into[n] {
			if k.inside[a.from] || !k.passes(a, source, n) {
				continue
			}
			if l := k.price(a, source, k.isLeft); k.isLeft(l) {
				k.border = append(k.border, toPay{a.from, l})
				continue
			}
			k.inside[a.from], k.queue = true, append(k.queue, a.from)
		}
	}
	var unpaid []clause.Lit
	for _, p := range k.border {
		if !k.inside[p.from] {
			unpaid = append(unpaid, p.lit.Not())
		}
	}
	slices.Sort(unpaid)
	return slices.Compact(unpaid)
}

// isLeft says whether something of a literal's cost is left to pay.
func (k *cuts) isLeft(l clause.Lit) bool {
	c := k.optimum.costOf(l)
	return c != nil && c.weights[k.rank] > 0
}

func (k *cuts) never(l clause.Lit) bool { return clause.Never(k.enc.Solver, l) }

// passes says whether a source may go by an arc to a node.
func (k *cuts) passes(a arc, source, to int) bool {
	switch {
	case k.never(k.enc.hear(a.from, source)) || k.never(k.enc.hear(to, source)):
		return false
	case a.output != graph.None:
		return !k.never(k.enc.carry(a.output, source))
	case a.cord != graph.None && k.never(k.enc.cords[a.cord].lit) || k.never(a.lead):
		return false
	}
	return (!k.enc.isLeaf[a.from] || a.from == k.enc.DriverNode(source)) && !k.forbidden(a, source)
}

// forbidden says whether a source that goes by an arc would pay what no answer pays any more.
func (k *cuts) forbidden(a arc, source int) bool {
	return slices.ContainsFunc(k.before, func(price pricing) bool {
		l := price(a, source, func(clause.Lit) bool { return true })
		return l != clause.False && k.never(l)
	})
}

// payFirst raises the bound by what each source pays by itself. Where nothing is known of what its
// ways pay, as in windows, and for outputs that do each other's work, the search finds it source by
// source, with little work where cores of one source are found at once or there are none.
func (s *search) payFirst(r rank) {
	pays, share := s.pays[r], s.work/int64(8*max(1, len(s.enc.wanted)))
	if pays != nil {
		if r > handled || !s.directed { // in larger rooms cuts alone prove more of the plugs handled
			s.optimum.payKnown()
		}
		newCuts(s.enc, s.optimum, r, s.pays).payAll(s.enc.wanted)
	}
	switch {
	case r == handled && pays == nil:
		s.optimum.solveGroups(s.enc.wanted, share)
	case r == changed:
		s.optimum.solveGroups(s.enc.wanted, share/20)
	}
}

// newPlug is what a way pays for the cord or lead that it plugs.
func (c *costs) newPlug(a arc, source int, _ func(clause.Lit) bool) clause.Lit {
	switch {
	case a.cord == graph.None:
		return a.lead
	case slices.Contains(c.problem.Present.Cords, c.cords[a.cord].ends) || c.byPut && c.mayBeMoved(a.cord):
		return clause.False
	}
	return c.ofCord(a.cord, source)
}

// ofCord is what a cord costs that carries a source; False where nothing was counted for it.
func (c *costs) ofCord(cord, source int) clause.Lit {
	if l, ok := c.newAt[[2]int{c.cords[cord].charge, source}]; ok {
		return l
	}
	return clause.False
}
