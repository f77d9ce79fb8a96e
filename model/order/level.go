package order

import "slices"

// level is how much has been given up to find a place for a unit.
type level uint8

const (
	// unharmed: nothing that should not be, with the moves as they are, and only
	// those loudspeakers muted that must be.
	unharmed level = iota
	// parted: the two plugs of a move at different times.
	parted
	// muted: with the moves as they are, and whatever would sound is muted.
	muted
	// partedMuted: likewise, the two plugs of a move at different times.
	partedMuted
	// touched: a plug moves on the way of what is to be kept, which is heard on.
	touched
	// interrupted: what is to be kept is interrupted.
	interrupted
	// clashing: outputs are joined, or a loop closes.
	clashing
)

// limit is the greatest weight that a risk may have.
func (l level) limit() int {
	switch l {
	case unharmed, parted, muted, partedMuted:
		return 0
	case touched:
		return touches
	case interrupted:
		return breaksUp
	case clashing:
	}
	return clashes
}

// parts says whether the plugs of a move may be done at different times.
func (l level) parts() bool { return l == parted || l >= partedMuted }

// raised is the next level, for a cluster that has no order at this one.
func (l level) raised() level { return min(l+1, clashing) }

// arrangement finds an order of all units, each at the least level that its
// cluster has one at. What must be muted whatever the order may be; where that
// is not enough, as little else as will do.
func (a *arranger) arrangement() []*unit {
	for {
		s := newSearch(a, leveled(a.units), a.mutable, a.tries(len(a.units)))
		stuck, ok := s.rest(s.count())
		if ok {
			a.rules.now.unrunAll(s.order)
			return mend(a.later(s))
		}
		members := wholes(s.members(stuck))
		switch {
		case a.raise(members, stuck):
		default:
			order := append(s.order, s.remaining()...)
			return mend(order)
		}
	}
}

// tries is how many units may be looked at for an order of some.
func (a *arranger) tries(units int) int { return 2000 + units*units/2 }

// wholes are the units that some are, or are halves of.
func wholes(units []*unit) []*unit {
	var all []*unit
	for _, u := range units {
		if u.half != nil {
			u = u.half.of
		}
		if !slices.Contains(all, u) {
			all = append(all, u)
		}
	}
	return all
}

// raise gives up something for units that have no order; it is false where
// nothing is left to be given up.
func (a *arranger) raise(units []*unit, stuck int) bool {
	if stuck != everything && a.muteFew(units) {
		return true
	}
	raised := false
	for _, u := range units {
		raised = raised || u.level < clashing
		u.level = u.level.raised()
	}
	return raised
}

// muteFew looks for the least set of gear that gives a cluster an order if it
// may be muted as well. It looks once for each cluster, when its moves have been
// parted in vain.
func (a *arranger) muteFew(units []*unit) bool {
	for _, u := range units {
		if u.level != parted || u.sought {
			return false
		}
	}
	for _, u := range units {
		u.sought = true
	}
	var near []string
	for _, g := range a.rules.audible {
		if !a.mutable[g.Name] && !a.rules.silent[g.Name] && slices.ContainsFunc(units, func(u *unit) bool { return a.zones.sounds(u, g) }) {
			near = append(near, g.Name)
		}
	}
	for size := 1; size <= min(len(near), mostSought); size++ {
		for _, set := range subsets(near, size) {
			for _, l := range []level{unharmed, parted} {
				if a.orderWith(units, set, l) {
					return true
				}
			}
		}
	}
	return false
}

// mostSought is how many loudspeakers are looked for in all their choices.
const mostSought = 3

// orderWith says whether some units have an order at a level if some gear may be
// muted as well, and notes it.
func (a *arranger) orderWith(units []*unit, gear []string, l level) bool {
	for _, u := range units {
		u.level = l
	}
	for _, g := range gear {
		a.mutable[g] = true
	}
	s := newSearch(a, leveled(units), a.mutable, a.tries(len(units))/4)
	s.stock.endless, s.stock.dummies = true, plenty
	_, ok := s.rest(s.count())
	a.rules.now.unrunAll(s.order)
	if !ok {
		for _, g := range gear {
			delete(a.mutable, g)
		}
		for _, u := range units {
			u.level = parted
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

// leveled are units, in halves where their level is so.
func leveled(units []*unit) []*unit {
	var all []*unit
	for _, u := range units {
		if !u.level.parts() {
			all = append(all, u)
			continue
		}
		halves, ok := u.split()
		if !ok {
			halves = []*unit{u}
		}
		all = append(all, halves...)
	}
	return all
}

// remaining are the units that no order was found for, as they stand.
func (s *search) remaining() []*unit {
	var left []*unit
	for _, u := range s.units {
		if !s.over(u) {
			left = append(left, u)
		}
	}
	return left
}
