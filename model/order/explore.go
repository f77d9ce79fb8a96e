package order

import (
	"cmp"
	"slices"
)

// choice is an action that may come next, with what it does.
type choice struct{ action, weight, mutes, interrupted int }

func (c choice) compare(d choice) int {
	return cmp.Or(cmp.Compare(c.weight, d.weight), cmp.Compare(c.mutes, d.mutes), cmp.Compare(c.interrupted, d.interrupted))
}

// explore brings what is left to its end; else it says which cluster is at a dead
// end. Of the actions that may come next it takes the first by rank that needs no
// loudspeaker muted anew and interrupts nothing; else one that harms least, mutes
// fewest and interrupts least. It goes back where it ends in a place from which
// nothing may come.
func (s *search) explore(left int) (deadEnd int, ok bool) {
	if left == 0 {
		return 0, true
	}
	n := node{search: s, left: left}
	harmless, harmful := n.choices()
	if harmless {
		return n.deadEnd, n.ok
	}
	for _, c := range harmful {
		if n.open(c.action) && n.take(c.action) {
			return n.deadEnd, n.ok
		}
	}
	return n.end()
}

// node is one place of the search. Once one action has been tried in vain only
// others of its cluster are.
type node struct {
	search  *search
	left    int
	tried   bool
	deadEnd int
	ok      bool
}

// choices takes actions without harm as they come; decided is true once one of them
// has decided the node. Else it finds the others, the least harmful first.
func (n *node) choices() (decided bool, harmful []choice) {
	s := n.search
	var later []int
	var put []*action // off, for their harm
	for _, i := range s.byRank() {
		if !n.open(i) || !s.possible(i) {
			continue
		}
		if s.newMutes(s.clicks[i]) > 0 || slices.ContainsFunc(put, s.actions[i].follows) {
			put, later = append(put, s.actions[i]), append(later, i)
			continue
		}
		c, within := s.try(i)
		switch {
		case !within:
		case c.weight+c.mutes+c.interrupted > 0:
			put = append(put, s.actions[i])
			harmful = append(harmful, c)
		case n.take(i):
			return true, nil
		}
	}
	for _, i := range later {
		if c, within := s.try(i); within {
			harmful = append(harmful, c)
		}
	}
	s.upstreamFirst(harmful)
	slices.SortStableFunc(harmful, choice.compare)
	return false, harmful
}

func (n *node) open(i int) bool {
	s := n.search
	return !s.over(s.actions[i]) && s.tries >= 0 && (!n.tried || n.deadEnd == everyCluster || s.cluster[i] == n.deadEnd)
}

// take does an action and the rest; it is true if that decides the node.
func (n *node) take(i int) bool {
	s := n.search
	e := s.do(i)
	deadEnd, ok := s.cluster[i], false
	if !s.deadEnds[s.keys[deadEnd]] {
		deadEnd, ok = s.explore(n.left - 1)
	}
	if ok {
		n.ok = true
		return true
	}
	s.undo(i, e)
	n.tried, n.deadEnd = true, deadEnd
	return deadEnd != everyCluster && deadEnd != s.cluster[i]
}

// end is what a node finds where nothing may come next any more.
func (n *node) end() (deadEnd int, ok bool) {
	s := n.search
	switch {
	case s.tries < 0:
		return everyCluster, false
	case n.tried && n.deadEnd != everyCluster:
		s.deadEnds[s.keys[n.deadEnd]] = true
		return n.deadEnd, false
	case n.tried:
		return everyCluster, false
	}
	for i, a := range s.actions {
		if s.over(a) {
			continue
		}
		if slices.ContainsFunc(s.members(s.cluster[i]), s.waitsForStock) {
			return everyCluster, false
		}
		s.deadEnds[s.keys[s.cluster[i]]] = true
		return s.cluster[i], false
	}
	return everyCluster, false
}

// upstreamFirst lets no action come before those upstream of it for its
// harmlessness: a chain is made in one go.
func (s *search) upstreamFirst(choices []choice) {
	slices.SortFunc(choices, func(c, d choice) int { return cmp.Compare(c.action, d.action) })
	for i := range choices {
		c := &choices[i]
		for _, before := range choices[:i] {
			if before.compare(*c) > 0 && s.actions[c.action].follows(s.actions[before.action]) {
				c.weight, c.mutes, c.interrupted = before.weight, before.mutes, before.interrupted
			}
		}
	}
}

// byRank are the actions that are left as they stand, but that what is begun is
// ended first.
func (s *search) byRank() []int {
	second := -1
	if last := len(s.order) - 1; last >= 0 && s.order[last].half != nil {
		second = slices.IndexFunc(s.actions, func(a *action) bool { return a.half != nil && a.half.first == s.order[last] })
	}
	all := make([]int, 0, len(s.actions))
	if second >= 0 {
		all = append(all, second)
	}
	for i, a := range s.actions {
		if i != second && !s.done[a] {
			all = append(all, i)
		}
	}
	return all
}

// try looks at every state that an action brings, and undoes it. It is false where
// one is worse than the action may bring.
func (s *search) try(i int) (c choice, within bool) {
	a := s.actions[i]
	if !s.cached(i) {
		s.tries--
		s.cache[i] = cached{s.rules.do(a), s.keyOf(i), true}
		s.rules.now.undo(a)
	}
	e := s.cache[i].effect
	weight, worst := e.weight()
	within = worst <= a.relaxed.limit()
	if a.relaxed < muteAny {
		within = within && !slices.ContainsFunc(e.mutes, func(g string) bool { return !s.mayMute(g) })
	}
	return choice{i, weight, s.newMutes(e.mutes), len(e.interrupted)}, within
}

// cached says whether the effect of an action as last found is that of now.
func (s *search) cached(i int) bool { return s.cache[i].ok && s.cache[i].key == s.keyOf(i) }

// keyOf names what is done of all that the effect of an action depends on.
func (s *search) keyOf(i int) uint64 {
	if s.mayClick[i] {
		return s.keys[everyCluster]
	}
	return s.keys[s.cluster[i]]
}
