package order

import "slices"

// combined are the actions that must all be done to end what some leave of the harm. It takes
// time linear in the room for each action, for each harm that no single one ends.
func (k *ranker) combined(h harm, done []*action) []*action {
	s := k.rules.now
	for _, a := range done {
		s.do(a)
	}
	h = k.left(s, h)
	s.undoAll(done)
	var all []*action
	for !h.none() {
		one, rest := h.one()
		all = append(all, k.leastFor(one)...)
		h = rest
	}
	return all
}

// one parts the first harm from the rest.
func (h harm) one() (first, rest harm) {
	if len(h.joined) > 0 {
		return harm{joined: h.joined[:1]}, harm{joined: h.joined[1:], loops: h.loops}
	}
	return harm{loops: h.loops[:1]}, harm{loops: h.loops[1:]}
}

// leastFor are actions none of which can be left out, with which a harm is at its end: all
// are, and each goes that is not needed, those that come late first.
func (k *ranker) leastFor(h harm) []*action {
	s := k.rules.new
	late := slices.Clone(k.actions)
	slices.SortStableFunc(late, func(a, b *action) int {
		switch later := k.later(a); {
		case later == k.later(b):
			return b.rank.compare(a.rank)
		case later:
			return -1
		}
		return 1
	})
	var needed, without []*action
	for _, a := range late {
		s.undo(a)
		if k.left(s, h).none() {
			without = append(without, a)
			continue
		}
		s.do(a)
		needed = append(needed, a)
	}
	for _, a := range without {
		s.do(a)
	}
	return needed
}
