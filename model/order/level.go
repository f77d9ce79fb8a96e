package order

// level is how much has been given up to find a place for a unit.
type level uint8

const (
	// unharmed: nothing that should not be, with the moves as they are.
	unharmed level = iota
	// muted: something would sound from loudspeakers, which are muted.
	muted
	// parted: the two plugs of a move at different times, and nothing harmed.
	parted
	// partedMuted: that, and loudspeakers muted.
	partedMuted
	// interrupted: what is to be kept is interrupted.
	interrupted
	// clashing: outputs are joined, or a loop closes.
	clashing
)

// limit is the greatest weight that a risk may have.
func (l level) limit() int {
	switch l {
	case unharmed, parted:
		return 0
	case muted, partedMuted:
		return sounds
	case interrupted:
		return breaksUp
	case clashing:
	}
	return clashes
}

// raised is the next level, for a cluster that has no order at this one.
func (l level) raised() level { return min(l+1, clashing) }

// arrangement finds an order of all units, each at the least level that its
// cluster has one at.
func (a *arranger) arrangement() []*unit {
	for {
		s := newSearch(a, a.leveled())
		stuck, ok := s.rest(s.count())
		if ok {
			return mend(s.order)
		}
		hopeless := true
		for _, u := range s.members(stuck) {
			of := u
			if u.half != nil {
				of = u.half.of
			}
			hopeless = hopeless && u.level == clashing
			of.level = max(of.level, u.level.raised())
		}
		if hopeless {
			return mend(append(s.order, s.remaining()...))
		}
	}
}

// leveled are the units, in halves where their level is so.
func (a *arranger) leveled() []*unit {
	var all []*unit
	for _, u := range a.units {
		if u.level < parted {
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
