package order

import (
	"slices"

	"bayhand/model/name"
)

// postponeMutes looks for orders that do more before the first loudspeaker is muted
// than the one found, as long as there may be one and little work is done. The order
// found takes what is silent first, by rank; rarely another would keep more of it
// silent.
func (q *sequencer) postponeMutes(best *search) []*action {
	for best.beforeMute() < q.mostBeforeMute(best.order) {
		s := newSearch(q, splitRelaxed(q.actions), q.mutable, triesLeast+triesEach*len(q.actions))
		if !s.silentFirst(best.beforeMute()+1, s.count(), map[uint64]bool{}) {
			break
		}
		q.rules.now.undoAll(s.order)
		best = s
	}
	return best.order
}

// How many actions may be looked at to mute later, and how many for each there is.
const (
	triesLeast = 30
	triesEach  = 3
)

// mostBeforeMute is more than can be done in silence: what clicks whatever the order
// cannot, nor what comes downstream of that, or into a jack that it leaves.
func (q *sequencer) mostBeforeMute(order []*action) int {
	loud := map[*action]bool{}
	for grew := true; grew; {
		grew = false
		for _, a := range order {
			if !loud[a] && q.loud(a, order, loud) {
				loud[a], grew = true, true
			}
		}
	}
	return len(order) - len(loud)
}

func (q *sequencer) loud(a *action, order []*action, loud map[*action]bool) bool {
	for _, j := range a.touched {
		if slices.ContainsFunc(q.clicks[j], func(g string) bool { return !q.rules.silent[g] }) {
			return true
		}
	}
	return slices.ContainsFunc(order, func(b *action) bool {
		if !loud[b] {
			return false
		}
		return a.follows(b) || b.opensFor(a) || slices.ContainsFunc(a.enters, func(p name.Point) bool { return slices.Contains(b.leaves, p) })
	})
}

// silentFirst brings all to its end with as many actions in silence as are wanted
// first.
func (s *search) silentFirst(silent, left int, failed map[uint64]bool) bool {
	if len(s.order) >= silent {
		_, ok := s.explore(left)
		return ok
	}
	if failed[s.keys[everyCluster]] {
		return false
	}
	var put []*action
	for _, i := range s.byRank() {
		if s.tries < 0 || s.over(s.actions[i]) || !s.possible(i) {
			continue
		}
		a := s.actions[i]
		if c, within := s.try(i); !within || c.weight+c.mutes > 0 || slices.ContainsFunc(put, a.follows) {
			put = append(put, a)
			continue
		}
		s.tries--
		e := s.do(i)
		if s.silentFirst(silent, left-1, failed) {
			return true
		}
		s.undo(i, e)
	}
	failed[s.keys[everyCluster]] = true
	return false
}
