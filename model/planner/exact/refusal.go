package exact

import (
	"maps"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/planner/clause"
	"bayhand/model/planner/problem"
	"bayhand/model/planner/trial"
)

// refusal adds clauses for what the others let through and no patch may have.
type refusal struct {
	*graph.Graph
	*clause.Solver
	*variables
}

// refine looks for what the clauses let through and no patch may have. It adds
// clauses that every patch that gives the session fulfils and this answer does
// not, and says whether it found any.
func (e *refusal) refine(d graph.Patch) bool { return e.refineIn(trial.New(e.problem, d), d) }

// refineNew is refine for an answer of a search, where it was not judged before.
func (e *refusal) refineNew(a *answers) bool { return !a.judged && e.refineIn(a.trial, a.patch) }

// refineIn is refine for an answer that a trial holds.
func (e *refusal) refineIn(r *trial.Trial, d graph.Patch) bool {
	return e.refineAmplifierRings() || r.GoesRound() && e.refineLoops(d) || e.refineHanging(d, r.State) || e.refineWays(r.State)
}

// refineAmplifierRings refuses outputs of amplifiers that feed each other in a
// ring.
func (e *refusal) refineAmplifierRings() bool {
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
func (e *refusal) ring(next map[int]int, start int) []clause.Lit {
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
func (e *refusal) refineLoops(d graph.Patch) bool {
	loops := e.problem.Room.Hear(e.Named(d)).Loops(e.problem.Session.Inside, e.problem.Session.Loops)
	for _, l := range loops {
		e.Add(e.loop(l, d)...)
	}
	return len(loops) > 0
}

func (e *refusal) loop(l heard.Loop, d graph.Patch) []clause.Lit {
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
func (e *refusal) hop(out, in name.Point) clause.Lit {
	n := e.Node[e.Number[in]]
	if s, ok := e.SourceOf[out]; ok {
		return e.driven(n, s)
	}
	if o, ok := e.OutputOf[out]; ok && !e.Outputs[o].Relay {
		return e.driven(n, e.Outputs[o].Driver)
	}
	return clause.False
}

// refineHanging refuses a cord that hangs where none may.
func (e *refusal) refineHanging(d graph.Patch, n *graph.State) bool {
	found := false
	for _, c := range d.Cords {
		if c[1] != graph.None || problem.MayHang(e.problem, n, c[0]) {
			continue
		}
		from := e.Jacks[c[0]].Node
		lits := []clause.Lit{e.loose[c[0]].Not()}
		for _, s := range n.Path(from, func(n int) bool { return e.Nodes[n].Mic }) {
			lits = append(lits, e.partLit(s.Part).Not())
		}
		e.Add(lits...)
		found = true
	}
	return found
}

// refineStock counts the cords that only some kinds will do for, once a draft
// asks for more than there are of those.
func (e *refusal) refineStock(d graph.Patch) bool {
	kinds := e.problem.Stock.Shortage(d.Cords)
	if kinds == nil {
		return false
	}
	owned := 0
	for k, in := range kinds {
		if in {
			owned += e.problem.Stock.Counts[k]
		}
	}
	only := func(ends [2]int) bool {
		for k := range kinds {
			if !kinds[k] && e.problem.Stock.Counts[k] > 0 && e.problem.Stock.Goes(k, ends) {
				return false
			}
		}
		return true
	}
	byJack := make([][]clause.Lit, len(e.Jacks))
	for _, c := range e.cords {
		if only(c.ends) {
			byJack[c.charge] = append(byJack[c.charge], c.lit)
		}
	}
	var lits []clause.Lit
	for j := range e.Jacks {
		if e.loose[j] != clause.False && only([2]int{j, graph.None}) {
			byJack[j] = append(byJack[j], e.loose[j])
		}
		if len(byJack[j]) > 0 {
			lits = append(lits, clause.Either(e.Solver, slices.Clone(byJack[j])))
		}
	}
	clause.AtMost(e.Solver, lits, owned)
	return true
}

// refineWays refuses ways that a want asks to go otherwise.
func (e *refusal) refineWays(n *graph.State) bool {
	found := false
	for i, w := range e.problem.Session.Wants {
		if len(w.Via)+len(w.Avoid) == 0 || e.soft && !e.Value(e.wantLits[i]) {
			continue
		}
		way, ok := e.problem.WayOf(n, w)
		if ok {
			continue
		}
		lits := []clause.Lit{e.wantLits[i].Not()}
		for _, s := range way {
			lits = append(lits, e.partLit(s.Part).Not())
		}
		e.Add(lits...)
		found = true
	}
	return found
}
