package order

import (
	"slices"
	"strconv"

	"bayhand/model/heard"
	"bayhand/model/plan"
)

// search looks for an order of units in which no state is worse than each of
// them may bring. It takes the first by rank that may come next, and goes back
// where it ends in a place from which nothing may. Units that never meet are in
// different clusters: whether a cluster can be brought to its end depends on
// what is done of it alone, so the search goes back to the last choice within
// the cluster that is stuck, and tries no other order of the rest.
type search struct {
	*arranger
	units []*unit
	// cluster numbers the units; those of one cluster meet, one by way of others.
	cluster []int
	live    *heard.Live
	jacks   jacks
	stock   *stock
	done    map[*unit]bool
	order   []*unit
	// stuck are sets of units done from which a cluster cannot be ended.
	stuck map[string]bool
	// tries is how many units may be looked at yet.
	tries int
}

// everything is the cluster that is stuck where cords are short, since any other
// may bring one, and where the tries have run out.
const everything = -1

func newSearch(a *arranger, units []*unit) *search {
	s := &search{
		arranger: a, units: units, cluster: make([]int, len(units)),
		live: a.room.Live(a.from), jacks: a.plugged(), stock: newStock(a),
		done: map[*unit]bool{}, stuck: map[string]bool{}, tries: 2000 + len(units)*len(units)/2,
	}
	for i := range units {
		s.cluster[i] = i
	}
	for i, u := range units {
		for k, v := range units[:i] {
			if s.cluster[i] != s.cluster[k] && a.zones.meet(u, v) {
				s.merge(s.cluster[i], s.cluster[k])
			}
		}
	}
	return s
}

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
type choice struct{ unit, weight int }

// rest brings what is left to its end; else it says which cluster is stuck.
func (s *search) rest(left int) (stuck int, ok bool) {
	if left == 0 {
		return 0, true
	}
	n := node{search: s, left: left}
	var harmful []choice
	for _, i := range s.byRank() {
		if !n.open(i) || !s.may(s.units[i]) {
			continue
		}
		weight, within := s.try(s.units[i])
		switch {
		case !within:
		case weight > 0:
			harmful = append(harmful, choice{i, weight})
		case n.take(i):
			return n.stuck, n.ok
		}
	}
	slices.SortStableFunc(harmful, func(c, d choice) int { return c.weight - d.weight })
	for _, c := range harmful {
		if n.open(c.unit) && n.take(c.unit) {
			return n.stuck, n.ok
		}
	}
	return n.end()
}

// byRank are the units as they stand, but that what is begun is ended first.
func (s *search) byRank() []int {
	second := -1
	if last := len(s.order) - 1; last >= 0 && s.order[last].half != nil {
		second = slices.IndexFunc(s.units, func(u *unit) bool { return u.half != nil && u.half.first == s.order[last] })
	}
	var all []int
	if second >= 0 {
		all = append(all, second)
	}
	for i := range s.units {
		if i != second {
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
	n.do(i)
	stuck, ok := n.cluster[i], false
	if !n.search.stuck[n.key(stuck)] {
		stuck, ok = n.rest(n.left - 1)
	}
	if ok {
		n.ok = true
		return true
	}
	n.undo(i)
	n.tried, n.stuck = true, stuck
	return stuck != everything && stuck != n.cluster[i]
}

// end is what a node finds where nothing may come next any more.
func (n *node) end() (stuck int, ok bool) {
	switch {
	case n.tries < 0:
		return everything, false
	case n.tried && n.stuck != everything:
		n.search.stuck[n.key(n.stuck)] = true
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
		n.search.stuck[n.key(n.cluster[i])] = true
		return n.cluster[i], false
	}
	return everything, false
}

// key names a cluster and what is done of it.
func (s *search) key(cluster int) string {
	key := []byte(strconv.Itoa(cluster))
	for i, u := range s.units {
		if s.cluster[i] == cluster && s.done[u] {
			key = strconv.AppendInt(append(key, ' '), int64(i), 10)
		}
	}
	return string(key)
}

func (s *search) do(i int) {
	u := s.units[i]
	u.run(s.live)
	s.jacks.take(u)
	s.stock.take(u, 1)
	s.done[u] = true
	s.order = append(s.order, u)
}

func (s *search) undo(i int) {
	u := s.units[i]
	u.unrun(s.live)
	s.jacks.undo(u)
	s.stock.take(u, -1)
	s.done[u] = false
	s.order = s.order[:len(s.order)-1]
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
func (s *search) may(u *unit) bool {
	if !s.jacks.allow(u) || u.half != nil && u.half.first != nil && !s.done[u.half.first] || s.waits(u) {
		return false
	}
	return !slices.ContainsFunc(s.units, func(v *unit) bool { return !s.done[v] && v.opensFor(u) })
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

// try looks at every state that a unit brings, and undoes it. It is false where
// one is worse than the unit may bring.
func (s *search) try(u *unit) (weight int, within bool) {
	s.tries--
	within = true
	add := func(risks []risk) {
		for _, r := range risks {
			weight += r.weight
			within = within && r.weight <= u.level.limit()
		}
	}
	for i, e := range u.events {
		add(s.rules.moves(s.live.State, u, i))
		s.live.Change(e.out, e.in)
		add(s.rules.moves(s.live.State, u, i))
		add(s.rules.judge(s.live.State))
	}
	u.unrun(s.live)
	return weight, within
}
