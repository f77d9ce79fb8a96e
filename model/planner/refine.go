package planner

import (
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/planner/clause"
)

// refine looks for what the clauses let through and no patch may have. It adds
// clauses that every patch that gives the session fulfils and this answer does
// not, and says whether it found any.
func (e *encoding) refine(d graph.Patch) bool {
	n := e.task.stateOf(d)
	return e.refineAmplifierRings() || e.refineLoops(d) || e.refineHanging(d, n) || e.refineWays(n)
}

// refineAmplifierRings refuses outputs of amplifiers that feed each other in a
// ring.
func (e *encoding) refineAmplifierRings() bool {
	next := map[int]int{} // output to crosspoint
	for o := range e.Outputs {
		for _, x := range e.Outputs[o].Crosses {
			if !e.Outputs[o].Relay && e.closed[x] != clause.False && e.Value(e.closed[x]) {
				next[o] = x
			}
		}
	}
	for _, start := range slices.Sorted(maps.Keys(next)) {
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
		from := e.Crosses[x].From
		lits = append(lits, e.closed[x].Not())
		up := graph.None
		for at, k := range e.dom[from] {
			if _, isSource := e.SourceAt(k); !isSource && e.Value(e.drive[from][at]) {
				up = e.Amplifier(k)
				lits = append(lits, e.drive[from][at].Not())
			}
		}
		if up == graph.None {
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
func (e *encoding) refineLoops(d graph.Patch) bool {
	loops := e.task.room.Hear(e.Named(d)).Loops(e.task.session.Inside, e.task.session.Loops)
	for _, l := range loops {
		e.Add(e.loop(l, d)...)
	}
	return len(loops) > 0
}

func (e *encoding) loop(l heard.Loop, d graph.Patch) []clause.Lit {
	var lits []clause.Lit
	for i := 0; i < len(l.Through); i += 2 {
		in, out := l.Through[i], l.Through[i+1]
		before := l.Through[(i+len(l.Through)-1)%len(l.Through)]
		hop := e.hop(before, in)
		if hop == clause.False {
			return e.otherPatch(d)
		}
		lits = append(lits, hop.Not())
		if o, ok := e.OutputOf[out]; ok {
			x, _ := e.CrossAt(o, e.Number[in])
			lits = append(lits, e.closed[x].Not())
		}
	}
	return lits
}

// hop says whether an output drives the node of an input.
func (e *encoding) hop(out, in name.Point) clause.Lit {
	n := e.Node[e.Number[in]]
	if s, ok := e.SourceOf[out]; ok {
		return e.driven(n, s)
	}
	if o, ok := e.OutputOf[out]; ok && !e.Outputs[o].Relay {
		return e.driven(n, e.Outputs[o].Driver)
	}
	return clause.False
}

// otherPatch refuses just this draft.
func (e *encoding) otherPatch(d graph.Patch) []clause.Lit {
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
		other(c.lit, slices.Contains(d.Cords, c.ends))
	}
	for _, l := range e.leads {
		other(l.lit, slices.Contains(d.Leads, [2]int{l.port, l.jack}))
	}
	for j := range e.Jacks {
		other(e.loose[j], slices.Contains(d.Cords, [2]int{j, graph.None}))
		other(e.dummy[j], slices.Contains(d.Dummies, j))
	}
	for x, l := range e.closed {
		_, in := slices.BinarySearch(d.Crosses, x)
		other(l, in)
	}
	return lits
}

// refineHanging refuses a cord that hangs from a net with phantom power or a
// signal at microphone level.
func (e *encoding) refineHanging(d graph.Patch, n *graph.State) bool {
	found := false
	for _, c := range d.Cords {
		if c[1] != graph.None || e.task.options.LeaveCords && slices.Contains(e.task.present.Cords, c) {
			continue
		}
		from := e.Jacks[c[0]].Node
		if !n.Mic(n.NetOf(from)) {
			continue
		}
		lits := []clause.Lit{e.loose[c[0]].Not()}
		for _, s := range n.Path(from, func(n int) bool { return e.Nodes[n].Mic }) {
			lits = append(lits, e.partLit(s.Part).Not())
		}
		e.Add(lits...)
		found = true
	}
	return found
}
