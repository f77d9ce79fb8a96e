package order

import (
	"cmp"
	"slices"

	"bayhand/model/plan"
	"bayhand/model/studio"
)

// search looks for an order of units in which no state is worse than each of
// them may bring. Of those that may come next it takes the first by rank that
// needs no loudspeaker muted anew and interrupts nothing; else one that harms
// least, mutes fewest and interrupts least. It goes back where it ends in a place
// from which nothing may come. Units that never meet are in different clusters:
// whether a cluster can be brought to its end depends on what is done of it
// alone, so the search goes back to the last choice within the cluster that is
// stuck, and tries no other order of the rest.
type search struct {
	*arranger
	units []*unit
	// allowed are the gear that may be muted.
	allowed map[string]bool
	// cluster numbers the units; those of one cluster meet, one by way of others.
	cluster []int
	// sure are the gear that a unit clicks from in whatever order; clicks says
	// whether it may click from any.
	sure   [][]string
	clicks []bool
	// openers are the units that open a crosspoint of the output that a unit
	// closes one of.
	openers [][]*unit
	now     *now
	jacks   jacks
	stock   *stock
	done    map[*unit]bool
	order   []*unit
	// loud are the places in the order of those that need something muted anew.
	loud []int
	// muted counts, for each gear, the units done that needed it down.
	muted map[string]int
	// keys name what is done of each cluster, and of all.
	keys map[int]uint64
	// known are the effects of units, as last found.
	known []found
	// stuck are sets of units done from which a cluster cannot be ended.
	stuck map[uint64]bool
	// tries is how many units may be looked at yet.
	tries int
}

// found is the effect of a unit where what was done of its cluster has this key.
type found struct {
	effect
	key uint64
	ok  bool
}

// everything is the cluster that is stuck where cords are short, since any other
// may bring one, and where the tries have run out.
const everything = -1

func newSearch(a *arranger, units []*unit, allowed map[string]bool, tries int) *search {
	s := &search{
		arranger: a, units: units, allowed: allowed, cluster: make([]int, len(units)), openers: make([][]*unit, len(units)),
		sure: make([][]string, len(units)), clicks: make([]bool, len(units)),
		now: a.rules.now, jacks: a.plugged(), stock: newStock(a), muted: map[string]int{}, keys: map[int]uint64{},
		known: make([]found, len(units)), done: map[*unit]bool{}, stuck: map[uint64]bool{}, tries: tries,
	}
	for i := range units {
		s.cluster[i] = i
		for _, j := range units[i].touched {
			s.sure[i] = append(s.sure[i], a.sure[j]...)
		}
		s.clicks[i] = slices.ContainsFunc(a.rules.audible, func(g studio.Gear) bool { return a.zones.sounds(units[i], g) })
	}
	for i, u := range units {
		for k, v := range units[:i] {
			if s.cluster[i] != s.cluster[k] && (a.zones.meet(u, v) || s.mayClick(u, v)) {
				s.merge(s.cluster[i], s.cluster[k])
			}
		}
		for _, v := range units {
			if v.opensFor(u) {
				s.openers[i] = append(s.openers[i], v)
			}
		}
	}
	return s
}

// mayClick says whether one of two units might click or not as the other is done
// before, from what may not be muted.
func (s *search) mayClick(u, v *unit) bool {
	for _, g := range s.rules.audible {
		if !s.mayMute(g.Name) && (s.zones.clicksWith(u, v, g) || s.zones.clicksWith(v, u, g)) {
			return true
		}
	}
	return false
}

func (s *search) mayMute(gear string) bool { return s.allowed[gear] || s.rules.silent[gear] }

func (s *search) merge(a, b int) {
	for i := range s.cluster {
		if s.cluster[i] == a {
			s.cluster[i] = b
		}
	}
}

// members are the units of a cluster.
func (s *search) members(cluster int) []*unit {
	var all []*unit
	for i, u := range s.units {
		if cluster == everything || s.cluster[i] == cluster {
			all = append(all, u)
		}
	}
	return all
}

// choice is a unit that may come next, with what it does.
type choice struct{ unit, weight, mutes, lost int }

func (c choice) compare(d choice) int {
	return cmp.Or(cmp.Compare(c.weight, d.weight), cmp.Compare(c.mutes, d.mutes), cmp.Compare(c.lost, d.lost))
}

// rest brings what is left to its end; else it says which cluster is stuck.
func (s *search) rest(left int) (stuck int, ok bool) {
	if left == 0 {
		return 0, true
	}
	n := node{search: s, left: left}
	var harmful []choice
	var later []int
	var put []*unit // off, for their harm
	for _, i := range s.byRank() {
		if !n.open(i) || !s.may(i) {
			continue
		}
		if s.fresh(s.sure[i]) > 0 || slices.ContainsFunc(put, s.units[i].follows) {
			put, later = append(put, s.units[i]), append(later, i)
			continue
		}
		c, within := s.try(i)
		switch {
		case !within:
		case c.weight+c.mutes+c.lost > 0:
			put = append(put, s.units[i])
			harmful = append(harmful, c)
		case n.take(i):
			return n.stuck, n.ok
		}
	}
	for _, i := range later {
		if c, within := s.try(i); within {
			harmful = append(harmful, c)
		}
	}
	s.inChains(harmful)
	slices.SortStableFunc(harmful, choice.compare)
	for _, c := range harmful {
		if n.open(c.unit) && n.take(c.unit) {
			return n.stuck, n.ok
		}
	}
	return n.end()
}

// inChains lets no unit come before those upstream of it for its harmlessness: a
// chain is made in one go.
func (s *search) inChains(choices []choice) {
	slices.SortFunc(choices, func(c, d choice) int { return cmp.Compare(c.unit, d.unit) })
	for i := range choices {
		c := &choices[i]
		for _, before := range choices[:i] {
			if before.compare(*c) > 0 && s.units[c.unit].follows(s.units[before.unit]) {
				c.weight, c.mutes, c.lost = before.weight, before.mutes, before.lost
			}
		}
	}
}

// byRank are the units as they stand, but that what is begun is ended first.
func (s *search) byRank() []int {
	second := -1
	if last := len(s.order) - 1; last >= 0 && s.order[last].half != nil {
		second = slices.IndexFunc(s.units, func(u *unit) bool { return u.half != nil && u.half.first == s.order[last] })
	}
	all := make([]int, 0, len(s.units))
	if second >= 0 {
		all = append(all, second)
	}
	for i, u := range s.units {
		if i != second && !s.done[u] {
			all = append(all, i)
		}
	}
	return all
}

// node is one place of the search. Once one unit has been tried in vain only
// others of its cluster are.
type node struct {
	*search
	left  int
	tried bool
	stuck int
	ok    bool
}

func (n *node) open(i int) bool {
	return !n.over(n.units[i]) && n.tries >= 0 && (!n.tried || n.stuck == everything || n.cluster[i] == n.stuck)
}

// take does a unit and the rest; it is true if that decides the node.
func (n *node) take(i int) bool {
	e := n.do(i)
	stuck, ok := n.cluster[i], false
	if !n.search.stuck[n.keys[stuck]] {
		stuck, ok = n.rest(n.left - 1)
	}
	if ok {
		n.ok = true
		return true
	}
	n.undo(i, e)
	n.tried, n.stuck = true, stuck
	return stuck != everything && stuck != n.cluster[i]
}

// end is what a node finds where nothing may come next any more.
func (n *node) end() (stuck int, ok bool) {
	switch {
	case n.tries < 0:
		return everything, false
	case n.tried && n.stuck != everything:
		n.search.stuck[n.keys[n.stuck]] = true
		return n.stuck, false
	case n.tried:
		return everything, false
	}
	for i, u := range n.units {
		if n.over(u) {
			continue
		}
		if slices.ContainsFunc(n.members(n.cluster[i]), n.waits) {
			return everything, false
		}
		n.search.stuck[n.keys[n.cluster[i]]] = true
		return n.cluster[i], false
	}
	return everything, false
}

// sign is a number for a unit and its cluster; sets of units are known by their
// sum (the finaliser of Steele, Lea and Flood's splitmix, 2014).
func (s *search) sign(i int) uint64 {
	x := (uint64(i)+1)*0x9e3779b97f4a7c15 + uint64(s.cluster[i])
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

func (s *search) do(i int) effect {
	u := s.units[i]
	e := s.rules.do(s.now, u)
	if s.fresh(e.quiets) > 0 {
		s.loud = append(s.loud, len(s.order))
	}
	s.mark(i, e, 1)
	s.done[u] = true
	s.order = append(s.order, u)
	return e
}

func (s *search) undo(i int, e effect) {
	u := s.units[i]
	s.now.unrun(u)
	s.mark(i, e, -1)
	s.done[u] = false
	s.order = s.order[:len(s.order)-1]
	if last := len(s.loud) - 1; last >= 0 && s.loud[last] == len(s.order) {
		s.loud = s.loud[:last]
	}
}

// silence counts the units at the beginning of the order that need nothing muted.
func (s *search) silence() int {
	if len(s.loud) == 0 {
		return len(s.order)
	}
	return s.loud[0]
}

// mark counts what a unit takes, brings and needs; by is -1 to undo it.
func (s *search) mark(i int, e effect, by int) {
	u, sign := s.units[i], s.sign(i)
	if by > 0 {
		s.jacks.take(u)
	} else {
		s.jacks.undo(u)
	}
	s.stock.take(u, by)
	for _, g := range e.quiets {
		s.muted[g] += by
	}
	s.keys[s.cluster[i]] += uint64(by) * sign
	s.keys[everything] += uint64(by) * sign
}

// count is how many units are to be done: of halves that can be done either way
// round, two of four.
func (s *search) count() int {
	count := 0
	for _, u := range s.units {
		if u.half == nil || u.half.whole == u.half.of {
			count++
		}
	}
	return count
}

// over says whether a unit is done, or is of the other way round than was taken.
func (s *search) over(u *unit) bool {
	if s.done[u] || u.half == nil {
		return s.done[u]
	}
	if u.half.first != nil {
		u = u.half.first
	}
	return u.half.rival != nil && s.done[u.half.rival]
}

// may says whether a unit can be done at all now: its jacks are free, its first
// half is done, its cord lies ready, and no crosspoint of its outputs is to be
// opened yet.
func (s *search) may(i int) bool {
	u := s.units[i]
	if !s.jacks.allow(u) || u.half != nil && u.half.first != nil && !s.done[u.half.first] || s.waits(u) {
		return false
	}
	return !slices.ContainsFunc(s.openers[i], func(v *unit) bool { return !s.done[v] })
}

// waits says whether a unit waits for a cord or a dummy that another brings.
func (s *search) waits(u *unit) bool {
	return !s.over(u) && s.stock.lacks(u) &&
		slices.ContainsFunc(s.units, func(v *unit) bool { return !s.over(v) && v.gives(u) })
}

// opensFor says whether a unit opens a crosspoint of an output that another
// closes one of.
func (u *unit) opensFor(v *unit) bool {
	return slices.ContainsFunc(u.changes, func(c plan.Change) bool {
		return c.Input.IsZero() && slices.ContainsFunc(v.changes, func(d plan.Change) bool { return c.Output == d.Output && !d.Input.IsZero() })
	})
}

// fresh counts the gear that would have to be muted anew.
func (s *search) fresh(gear []string) int {
	count := 0
	for _, g := range gear {
		if s.muted[g] == 0 && !s.rules.silent[g] {
			count++
		}
	}
	return count
}

// try looks at every state that a unit brings, and undoes it. It is false where
// one is worse than the unit may bring.
func (s *search) try(i int) (c choice, within bool) {
	u := s.units[i]
	key := s.keys[s.cluster[i]]
	if s.clicks[i] {
		key = s.keys[everything]
	}
	if at := &s.known[i]; !at.ok || at.key != key {
		s.tries--
		*at = found{s.rules.do(s.now, u), key, true}
		s.now.unrun(u)
	}
	e := s.known[i].effect
	weight, worst := e.weight()
	within = worst <= u.level.limit()
	if u.level < muted {
		within = within && !slices.ContainsFunc(e.quiets, func(g string) bool { return !s.mayMute(g) })
	}
	return choice{i, weight, s.fresh(e.quiets), len(e.lost)}, within
}
