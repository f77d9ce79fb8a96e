package order

import (
	"slices"

	"bayhand/model/name"
)

// later looks for orders that do more before the first loudspeaker is muted than
// the one found, as long as there may be one and little work is done. The order
// found takes what is silent first, by rank; rarely another would keep more of it
// silent.
func (a *arranger) later(best *search) []*unit {
	for best.silence() < a.mostSilent(best.order) {
		s := newSearch(a, leveled(a.units), a.mutable, triesLeast+triesEach*len(a.units))
		if !s.quietly(best.silence()+1, s.count(), map[uint64]bool{}) {
			break
		}
		a.rules.now.unrunAll(s.order)
		best = s
	}
	return best.order
}

// How many units may be looked at to mute later, and how many for each there is.
const (
	triesLeast = 30
	triesEach  = 3
)

// mostSilent is more than can be silent: what clicks whatever the order cannot,
// nor what comes downstream of that, or into a jack that it leaves.
func (a *arranger) mostSilent(order []*unit) int {
	loud := map[*unit]bool{}
	for grew := true; grew; {
		grew = false
		for _, u := range order {
			if !loud[u] && a.loud(u, order, loud) {
				loud[u], grew = true, true
			}
		}
	}
	return len(order) - len(loud)
}

func (a *arranger) loud(u *unit, order []*unit, loud map[*unit]bool) bool {
	for _, j := range u.touched {
		if slices.ContainsFunc(a.sure[j], func(g string) bool { return !a.rules.silent[g] }) {
			return true
		}
	}
	return slices.ContainsFunc(order, func(v *unit) bool {
		if !loud[v] {
			return false
		}
		return u.follows(v) || v.opensFor(u) || slices.ContainsFunc(u.enters, func(p name.Point) bool { return slices.Contains(v.leaves, p) })
	})
}

// quietly brings all to its end with as many units in silence as are wanted first.
func (s *search) quietly(quiet, left int, failed map[uint64]bool) bool {
	if len(s.order) >= quiet {
		_, ok := s.rest(left)
		return ok
	}
	if failed[s.keys[everything]] {
		return false
	}
	var put []*unit
	for _, i := range s.byRank() {
		if s.tries < 0 || s.over(s.units[i]) || !s.may(i) {
			continue
		}
		u := s.units[i]
		if c, within := s.try(i); !within || c.weight+c.mutes > 0 || slices.ContainsFunc(put, u.follows) {
			put = append(put, u)
			continue
		}
		s.tries--
		e := s.do(i)
		if s.quietly(quiet, left-1, failed) {
			return true
		}
		s.undo(i, e)
	}
	failed[s.keys[everything]] = true
	return false
}
