package order

import (
	"slices"

	"bayhand/model/studio"
)

// search looks for an order of actions in which no state is worse than each of
// them may bring (explore.go). Independent actions are in different clusters:
// whether a cluster can be brought to its end depends on what is done of it
// alone, so the search goes back to the last choice within the cluster that is
// at a dead end, and tries no other order of the rest.
type search struct {
	facts   *facts
	rules   *rules
	zones   *zones
	actions []*action
	// allowed are the gear that may be muted.
	allowed map[string]bool
	// cluster numbers the actions; those of one cluster depend on each other, one by
	// way of others.
	cluster []int
	// clicks are the gear that an action clicks from in whatever order; mayClick
	// says whether it may click from any.
	clicks   [][]string
	mayClick []bool
	// openers are the actions that open a crosspoint of the output that an action
	// closes one of.
	openers [][]*action
	jacks   jacks
	stock   *stock
	done    map[*action]bool
	order   []*action
	// muted counts, for each gear, the actions done that needed it muted.
	muted map[string]int
	// keys name what is done of each cluster, and of all.
	keys map[int]uint64
	// cache has the effects of actions, as last found.
	cache []cached
	// deadEnds are sets of actions done from which a cluster cannot be ended.
	deadEnds map[uint64]bool
	// tries is how many actions may be looked at yet.
	tries int
}

// cached is the effect of an action where what was done of its cluster has this
// key.
type cached struct {
	effect effect
	key    uint64
	ok     bool
}

// everyCluster is at a dead end where cords are short, since any other may bring
// one, and where the tries have run out.
const everyCluster = -1

func newSearch(q *sequencer, actions []*action, allowed map[string]bool, tries int) *search {
	s := &search{
		facts: q.facts, rules: q.rules, zones: q.zones, actions: actions, allowed: allowed,
		cluster: make([]int, len(actions)), openers: make([][]*action, len(actions)),
		clicks: make([][]string, len(actions)), mayClick: make([]bool, len(actions)),
		jacks: pluggedIn(q.facts.from), stock: newStock(q.facts), muted: map[string]int{}, keys: map[int]uint64{},
		cache: make([]cached, len(actions)), done: map[*action]bool{}, deadEnds: map[uint64]bool{}, tries: tries,
	}
	for i, a := range actions {
		for _, j := range a.touched {
			s.clicks[i] = append(s.clicks[i], q.clicks[j]...)
		}
		s.mayClick[i] = slices.ContainsFunc(q.facts.audible, func(g studio.Gear) bool { return q.zones.mayBeHeard(a, g) })
		for _, b := range actions {
			if b.opensFor(a) {
				s.openers[i] = append(s.openers[i], b)
			}
		}
	}
	s.findClusters()
	return s
}

func (s *search) findClusters() {
	for i := range s.cluster {
		s.cluster[i] = i
	}
	for i, a := range s.actions {
		for k, b := range s.actions[:i] {
			if s.cluster[i] != s.cluster[k] && (s.zones.dependent(a, b) || s.clickDepends(a, b)) {
				s.merge(s.cluster[i], s.cluster[k])
			}
		}
	}
}

// clickDepends says whether one of two actions might click or not as the other is
// done before, from what may not be muted.
func (s *search) clickDepends(a, b *action) bool {
	return slices.ContainsFunc(s.facts.audible, func(g studio.Gear) bool {
		return !s.mayMute(g.Name) && (s.zones.clicksBy(a, b, g) || s.zones.clicksBy(b, a, g))
	})
}

func (s *search) mayMute(gear string) bool { return s.allowed[gear] || s.rules.silent[gear] }

func (s *search) merge(a, b int) {
	for i := range s.cluster {
		if s.cluster[i] == a {
			s.cluster[i] = b
		}
	}
}

// members are the actions of a cluster.
func (s *search) members(cluster int) []*action {
	var all []*action
	for i, a := range s.actions {
		if cluster == everyCluster || s.cluster[i] == cluster {
			all = append(all, a)
		}
	}
	return all
}

// sign is a number for an action and its cluster; sets of actions are known by
// their sum (the finaliser of Steele, Lea and Flood's splitmix, 2014).
func (s *search) sign(i int) uint64 {
	x := (uint64(i)+1)*0x9e3779b97f4a7c15 + uint64(s.cluster[i])
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

func (s *search) do(i int) effect {
	a := s.actions[i]
	e := s.cache[i].effect
	if s.cached(i) {
		s.rules.now.do(a)
	} else {
		e = s.rules.do(a)
	}
	s.mark(i, e, 1)
	s.done[a] = true
	s.order = append(s.order, a)
	return e
}

func (s *search) undo(i int, e effect) {
	a := s.actions[i]
	s.rules.now.undo(a)
	s.mark(i, e, -1)
	s.done[a] = false
	s.order = s.order[:len(s.order)-1]
}

// mark counts what an action takes, brings and needs; by is -1 to undo it.
func (s *search) mark(i int, e effect, by int) {
	a, sign := s.actions[i], s.sign(i)
	if by > 0 {
		s.jacks.do(a)
	} else {
		s.jacks.undo(a)
	}
	s.stock.take(a, by)
	for _, g := range e.mutes {
		s.muted[g] += by
	}
	s.keys[s.cluster[i]] += uint64(by) * sign
	s.keys[everyCluster] += uint64(by) * sign
}

// count is how many actions are to be done: of halves that can be done either way
// round, two of four.
func (s *search) count() int {
	count := 0
	for _, a := range s.actions {
		if a.half == nil || a.half.both == a.half.of {
			count++
		}
	}
	return count
}

// over says whether an action is done, or is of the other way round than was taken.
func (s *search) over(a *action) bool {
	if s.done[a] || a.half == nil {
		return s.done[a]
	}
	if a.half.first != nil {
		a = a.half.first
	}
	return a.half.rival != nil && s.done[a.half.rival]
}

// remaining are the actions that no order was found for, as they stand.
func (s *search) remaining() []*action {
	return slices.DeleteFunc(slices.Clone(s.actions), s.over)
}

// possible says whether an action can be done at all now: its jacks are free, its
// first half is done, its cord lies ready, and no crosspoint of its outputs is to be
// opened yet.
func (s *search) possible(i int) bool {
	a := s.actions[i]
	if !s.jacks.allow(a) || a.half != nil && a.half.first != nil && !s.done[a.half.first] || s.waitsForStock(a) {
		return false
	}
	return !slices.ContainsFunc(s.openers[i], func(b *action) bool { return !s.done[b] })
}

// waitsForStock says whether an action waits for a cord or a dummy that another
// brings.
func (s *search) waitsForStock(a *action) bool {
	return !s.over(a) && s.stock.lacks(a) &&
		slices.ContainsFunc(s.actions, func(b *action) bool { return !s.over(b) && b.supplies(a) })
}

// newMutes counts the gear that would have to be muted as well.
func (s *search) newMutes(gear []string) int {
	count := 0
	for _, g := range gear {
		if s.muted[g] == 0 && !s.rules.silent[g] {
			count++
		}
	}
	return count
}
