package planner

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/planner/clause"
)

// refine looks for what the clauses let through and no patch may have. It adds
// clauses that every patch that gives the session fulfils and this answer does
// not, and says whether it found any.
func (e *encoding) refine(d draft) bool {
	n := e.nets(d)
	return e.refineRings(n) || e.refineAmplifierRings() || e.refineLoops(d) || e.refineHanging(n) || e.refineWays(n)
}

// refineRings refuses nodes that are said to have a driver which their net does
// not reach: a ring that feeds itself.
func (e *encoding) refineRings(n *nets) bool {
	found := map[int]bool{}
	for i := range e.nodes {
		root := n.root.root(i)
		if found[root] || len(e.always(i)) > 0 {
			continue
		}
		for at, k := range e.dom[i] {
			if e.Value(e.drive[i][at]) && !slices.Contains(n.driversAt(i), k) {
				found[root] = true
			}
		}
	}
	for _, root := range sortedKeys(found) {
		e.needEntry(n, root)
	}
	return len(found) > 0
}

// needEntry: a driver that stands outside a set of nodes comes into it over
// some edge that crosses its border.
func (e *encoding) needEntry(n *nets, root int) {
	inside := func(i int) bool { return n.root.root(i) == root }
	var members []int
	var border []clause.Lit
	for i := range e.nodes {
		if !inside(i) {
			continue
		}
		members = append(members, i)
		for _, edge := range e.edges[i] {
			if !inside(edge.to) {
				border = append(border, edge.lit)
			}
		}
	}
	slices.Sort(border)
	entry := e.either(slices.Compact(border))
	for _, i := range members {
		for at, k := range e.dom[i] {
			if !inside(e.driverNode(k)) {
				e.Add(e.drive[i][at].Not(), entry)
			}
		}
	}
}

// refineAmplifierRings refuses outputs of amplifiers that feed each other in a
// ring.
func (e *encoding) refineAmplifierRings() bool {
	next := map[int]int{} // output to crosspoint
	for o := range e.outputs {
		for _, x := range e.outputs[o].crosses {
			if !e.outputs[o].relay && e.closed[x] != clause.False && e.Value(e.closed[x]) {
				next[o] = x
			}
		}
	}
	for _, start := range sortedKeys(next) {
		if ring := e.ring(next, start); ring != nil {
			e.Add(ring...)
			return true
		}
	}
	return false
}

// ring follows outputs upstream until one comes again.
func (e *encoding) ring(next map[int]int, start int) []clause.Lit {
	var lits []clause.Lit
	o := start
	for range len(next) + 1 {
		x, ok := next[o]
		if !ok {
			return nil
		}
		from := e.crosses[x].from
		lits = append(lits, e.closed[x].Not())
		up := nowhere
		for at, k := range e.dom[from] {
			if _, isSource := e.source(k); !isSource && e.Value(e.drive[from][at]) {
				up = e.amplifier(k)
				lits = append(lits, e.drive[from][at].Not())
			}
		}
		if up == nowhere {
			return nil
		}
		if up == start {
			return lits
		}
		o = up
	}
	return nil
}

// refineLoops refuses loops through gear. Each hop of one is a driver on the
// node of an input, or a crosspoint.
func (e *encoding) refineLoops(d draft) bool {
	loops := e.room.Hear(e.patch(d)).Loops(e.session.Inside, e.session.Loops)
	for _, l := range loops {
		e.Add(e.loop(l, d)...)
	}
	return len(loops) > 0
}

func (e *encoding) loop(l heard.Loop, d draft) []clause.Lit {
	var lits []clause.Lit
	for i := 0; i < len(l.Through); i += 2 {
		in, out := l.Through[i], l.Through[i+1]
		before := l.Through[(i+len(l.Through)-1)%len(l.Through)]
		hop := e.hop(before, in)
		if hop == clause.False {
			return e.differently(d)
		}
		lits = append(lits, hop.Not())
		if o, ok := e.outputOf[out]; ok {
			x, _ := e.crossAt(o, e.number[in])
			lits = append(lits, e.closed[x].Not())
		}
	}
	return lits
}

// hop says whether an output drives the node of an input.
func (e *encoding) hop(out, in name.Point) clause.Lit {
	n := e.node[e.number[in]]
	if s, ok := e.sourceOf[out]; ok {
		return e.driven(n, s)
	}
	if o, ok := e.outputOf[out]; ok && !e.outputs[o].relay {
		return e.driven(n, e.outputs[o].driver)
	}
	return clause.False
}

// differently refuses just this draft.
func (e *encoding) differently(d draft) []clause.Lit {
	var lits []clause.Lit
	other := func(l clause.Lit, in bool) {
		switch {
		case l == clause.False:
		case in:
			lits = append(lits, l.Not())
		default:
			lits = append(lits, l)
		}
	}
	for _, c := range e.cords {
		other(c.lit, slices.Contains(d.cords, c.ends))
	}
	for _, l := range e.leads {
		other(l.lit, slices.Contains(d.leads, [2]int{l.port, l.jack}))
	}
	for j := range e.jacks {
		other(e.loose[j], slices.Contains(d.cords, [2]int{j, nowhere}))
		other(e.dummy[j], slices.Contains(d.dummies, j))
	}
	for x, l := range e.closed {
		_, in := slices.BinarySearch(d.crosses, x)
		other(l, in)
	}
	return lits
}

// refineHanging refuses a cord that hangs from a net with phantom power or a
// signal at microphone level.
func (e *encoding) refineHanging(n *nets) bool {
	found := false
	for _, c := range n.draft.cords {
		if c[1] != nowhere || e.options.LeaveCords && slices.Contains(e.present.cords, c) {
			continue
		}
		from := e.jacks[c[0]].node
		for i := range e.nodes {
			if e.nodes[i].mic && n.root.root(i) == n.root.root(from) {
				lits := []clause.Lit{e.loose[c[0]].Not()}
				for _, s := range n.path(from, i) {
					lits = append(lits, e.lit(s.thing).Not())
				}
				e.Add(lits...)
				found = true
				break
			}
		}
	}
	return found
}

func sortedKeys[V any](m map[int]V) []int {
	var keys []int
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
