package order

import (
	"slices"

	"bayhand/model/name"
)

// harm is what is wrong with the old patch and not with the new one: two outputs that are
// joined, or the ports of a loop, under one of what the software carries.
type harm struct {
	joined [][2]name.Point
	loops  [][]name.Point
}

// harmNow finds the harm of the old patch. It takes time linear in the room where something
// is joined or may go round.
func (k *ranker) harmNow() harm {
	now, new := k.rules.now, k.rules.new
	var h harm
	if now.live.Contended() {
		h.joined = newPairs(now, new)
	}
	after := k.rounds(new)
	for _, l := range k.rounds(now) {
		if !slices.ContainsFunc(after, func(o []name.Point) bool { return slices.Equal(l, o) }) {
			h.loops = append(h.loops, l)
		}
	}
	return h
}

// newPairs are the outputs that are joined in one state and not in another, two by two.
func newPairs(with, without *state) [][2]name.Point {
	var pairs [][2]name.Point
	for _, c := range with.live.Contentions() {
		for i, q := range c.Drivers {
			for _, p := range c.Drivers[:i] {
				if !without.live.Contend(p, q) {
					pairs = append(pairs, [2]name.Point{p, q})
				}
			}
		}
	}
	return pairs
}

// rounds are the ports of the loops of a state that the session does not allow.
func (k *ranker) rounds(s *state) [][]name.Point {
	var all [][]name.Point
	for _, i := range k.facts.insides {
		for _, l := range s.live.Loops(i.passes, k.facts.session.Loops) {
			all = append(all, l.Through)
		}
	}
	return all
}

// markUrgent notes which actions end harm at once. What comes later in its chain keeps its
// place there.
func (k *ranker) markUrgent() {
	h := k.harmNow()
	if len(h.joined)+len(h.loops) == 0 {
		return
	}
	var urgent []*action
	for _, a := range k.actions {
		if k.ends(h, a) && !slices.ContainsFunc(k.actions, func(b *action) bool { return b != a && a.follows(b) }) {
			urgent = append(urgent, a)
		}
	}
	for _, a := range urgent {
		a.rank.urgent = true
	}
}

// ends says whether an action, before all others, ends some harm.
func (k *ranker) ends(h harm, a *action) bool {
	s := k.rules.now
	s.do(a)
	defer s.undo(a)
	if slices.ContainsFunc(h.joined, func(j [2]name.Point) bool { return !s.live.Contend(j[0], j[1]) }) {
		return true
	}
	if len(h.loops) == 0 {
		return false
	}
	left := k.rounds(s)
	return slices.ContainsFunc(h.loops, func(l []name.Point) bool {
		return !slices.ContainsFunc(left, func(o []name.Point) bool { return slices.Equal(l, o) })
	})
}
