package order

import "slices"

// relaxation is how much has been given up to find a place for an action.
type relaxation uint8

const (
	// strict: no hazard, with the moves as they are, and only those loudspeakers
	// muted that must be.
	strict relaxation = iota
	// splitMoves: the two plugs of a move at different times.
	splitMoves
	// muteAny: with the moves as they are, and whatever would sound is muted.
	muteAny
	// splitMuteAny: likewise, the two plugs of a move at different times.
	splitMuteAny
	// touchKept: a plug moves on the path of what is to be kept, which is heard on.
	touchKept
	// interruptKept: what is to be kept is interrupted.
	interruptKept
	// clash: outputs are joined, or a loop closes.
	clash
)

// limit is the greatest weight that a hazard may have.
func (r relaxation) limit() int {
	switch r {
	case strict, splitMoves, muteAny, splitMuteAny:
		return weighsSound
	case touchKept:
		return weighsTouch
	case interruptKept:
		return weighsInterrupt
	case clash:
	}
	return weighsClash
}

// splits says whether the plugs of a move may be done at different times.
func (r relaxation) splits() bool { return r == splitMoves || r >= splitMuteAny }

// raised is the next relaxation, for a cluster that has no order at this one.
func (r relaxation) raised() relaxation { return min(r+1, clash) }

// relax finds an order of all actions, each at the least relaxation that its
// cluster has one at. What must be muted whatever the order may be muted; where that
// is not enough, as little else as will do.
// done is false where some actions have none, and stand as they are ranked.
func (q *sequencer) relax() (order []*action, done bool) {
	for {
		s := newSearch(q, splitRelaxed(q.actions), q.mutable, tries(len(q.actions)))
		deadEnd, ok := s.explore(s.count())
		if ok {
			q.rules.now.undoAll(s.order)
			return rejoin(s.order), true
		}
		if !q.raise(wholes(s.members(deadEnd)), deadEnd) {
			q.rules.now.undoAll(s.order)
			return rejoin(append(s.order, s.remaining()...)), false
		}
	}
}

// tries is how many actions may be looked at for an order of some.
func tries(actions int) int { return 2000 + actions*actions/2 }

// raise gives up something for actions that have no order; it is false where
// nothing is left to be given up.
func (q *sequencer) raise(actions []*action, deadEnd int) bool {
	if deadEnd != everyCluster && q.muteFew(actions) {
		return true
	}
	raised := false
	for _, a := range actions {
		raised = raised || a.relaxed < clash
		a.relaxed = a.relaxed.raised()
	}
	return raised
}

// muteFew looks for the least set of gear that gives a cluster an order if it
// may be muted as well. It looks once for each cluster, when its moves have been
// split in vain.
func (q *sequencer) muteFew(actions []*action) bool {
	for _, a := range actions {
		if a.relaxed != splitMoves || a.mutesSought {
			return false
		}
	}
	for _, a := range actions {
		a.mutesSought = true
	}
	var near []string
	for _, g := range q.facts.audible {
		if !q.mutable[g.Name] && !q.rules.silent[g.Name] && slices.ContainsFunc(actions, func(a *action) bool { return q.zones.mayBeHeard(a, g) }) {
			near = append(near, g.Name)
		}
	}
	for size := 1; size <= min(len(near), mostSought); size++ {
		for _, set := range subsets(near, size) {
			for _, r := range []relaxation{strict, splitMoves} {
				if q.orderedWith(actions, set, r) {
					return true
				}
			}
		}
	}
	return false
}

// mostSought is how many loudspeakers are looked for in all their choices.
const mostSought = 3

// orderedWith says whether some actions have an order at a relaxation if some gear
// may be muted as well, and notes it.
func (q *sequencer) orderedWith(actions []*action, gear []string, r relaxation) bool {
	for _, a := range actions {
		a.relaxed = r
	}
	for _, g := range gear {
		q.mutable[g] = true
	}
	s := newSearch(q, splitRelaxed(actions), q.mutable, tries(len(actions))/4)
	s.stock.unlimited, s.stock.dummies = true, plenty
	_, ok := s.explore(s.count())
	q.rules.now.undoAll(s.order)
	if !ok {
		for _, g := range gear {
			delete(q.mutable, g)
		}
		for _, a := range actions {
			a.relaxed = splitMoves
		}
	}
	return ok
}

// subsets are those of a size.
func subsets(all []string, size int) [][]string {
	if size == 0 {
		return [][]string{nil}
	}
	var sets [][]string
	for i := 0; i+size <= len(all); i++ {
		for _, rest := range subsets(all[i+1:], size-1) {
			sets = append(sets, append([]string{all[i]}, rest...))
		}
	}
	return sets
}
