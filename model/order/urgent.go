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

func (h harm) none() bool { return len(h.joined)+len(h.loops) == 0 }

// left is what is there of some harm in a state.
func (k *ranker) left(s *state, h harm) harm {
	return harm{
		joined: slices.DeleteFunc(slices.Clone(h.joined), func(j [2]name.Point) bool { return !s.live.Contend(j[0], j[1]) }),
		loops:  k.stillGo(s, h.loops),
	}
}

// stillGo are those of some loops that are closed in a state.
func (k *ranker) stillGo(s *state, loops [][]name.Point) [][]name.Point {
	if len(loops) == 0 {
		return nil
	}
	closed := k.rounds(s)
	return slices.DeleteFunc(slices.Clone(loops), func(l []name.Point) bool {
		return !slices.ContainsFunc(closed, func(o []name.Point) bool { return slices.Equal(l, o) })
	})
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

// markUrgent notes which actions end harm at once: one, or several that each leave it as it
// is, such as cords that join the same outputs. What comes later in its chain keeps its place
// there.
func (k *ranker) markUrgent() {
	h := k.harmNow()
	if h.none() {
		return
	}
	var urgent []*action
	for _, a := range k.actions {
		if !k.later(a) && k.ends(h, a) {
			urgent = append(urgent, a)
		}
	}
	urgent = append(urgent, k.combined(h, urgent)...)
	for _, a := range urgent {
		a.rank.urgent = !k.later(a)
	}
}

// later says whether an action comes later in its chain.
func (k *ranker) later(a *action) bool {
	return slices.ContainsFunc(k.actions, func(b *action) bool { return b != a && a.follows(b) })
}

// ends says whether an action, before all others, ends some harm.
func (k *ranker) ends(h harm, a *action) bool {
	s := k.rules.now
	s.do(a)
	defer s.undo(a)
	return slices.ContainsFunc(h.joined, func(j [2]name.Point) bool { return !s.live.Contend(j[0], j[1]) }) ||
		len(h.loops) > 0 && len(k.stillGo(s, h.loops)) < len(h.loops)
}
