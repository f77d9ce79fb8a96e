package order

import (
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// stock is what lies ready: cords by their length, and dummies. What is plugged
// is owned, even where the file forgot it.
type stock struct {
	endless bool
	cords   map[measure.Length]int
	dummies int
	// pulled are the places of the units that have brought cords, by length, and
	// dummies.
	pulled        map[measure.Length][]int
	pulledDummies []int
}

const plenty = 1 << 30

func newStock(a *arranger) *stock {
	s := a.room.Studio()
	own := &stock{endless: s.Stock.Unlimited, cords: map[measure.Length]int{}, pulled: map[measure.Length][]int{}, dummies: plenty}
	for _, c := range s.Stock.Cords {
		own.cords[c.Length] += c.Count
	}
	for _, c := range a.from.Cords {
		length := lengthOf(s, c.Length, c.Ends())
		own.cords[length] = max(own.cords[length]-1, 0)
	}
	if s.Dummies >= 0 {
		own.dummies = max(s.Dummies-len(a.from.Dummies), 0)
	}
	return own
}

// lengthOf is the length of a cord; where nothing was said, that of the shortest
// owned that reaches.
func lengthOf(s *studio.Studio, said measure.Length, ends []name.Point) measure.Length {
	if said == 0 && len(ends) == 2 {
		said, _ = layout.Shortest(s, ends[0], ends[1])
	}
	return said
}

// lacks says whether nothing lies ready that a unit plugs.
func (s *stock) lacks(u *unit) bool {
	switch {
	case u.move.Do == plan.Plug:
		return !s.endless && s.cords[u.length] <= 0
	case u.move.Do == plan.PlugDummy:
		return s.dummies <= 0
	}
	return false
}

// gives says whether a unit brings what another lacks.
func (u *unit) gives(lacking *unit) bool {
	switch {
	case u.move.Do == plan.Pull && lacking.move.Do == plan.Plug:
		return u.length == lacking.length
	case u.move.Do == plan.PullDummy:
		return lacking.move.Do == plan.PlugDummy
	}
	return false
}

// take counts what a unit takes from the stock and gives back; by is -1 to undo
// it.
func (s *stock) take(u *unit, by int) {
	switch {
	case u.move.Do == plan.Plug:
		s.cords[u.length] -= by
	case u.move.Do == plan.Pull:
		s.cords[u.length] += by
	case u.move.Do == plan.PlugDummy:
		s.dummies -= by
	case u.move.Do == plan.PullDummy:
		s.dummies += by
	}
}

// supplier takes what a unit plugs from the stock, and is the place of the unit
// that brings it there where nothing lies ready.
func (s *stock) supplier(u *unit) (at int, ok bool) {
	if !s.lacks(u) {
		if u.move.Do == plan.Plug || u.move.Do == plan.PlugDummy {
			s.take(u, 1)
		}
		return 0, false
	}
	if u.move.Do == plan.PlugDummy {
		return next(&s.pulledDummies)
	}
	places := s.pulled[u.length]
	at, ok = next(&places)
	s.pulled[u.length] = places
	return at, ok
}

// next takes the first of some places; there is none where the plan has counted
// a cord that is of a length of its own.
func next(places *[]int) (at int, ok bool) {
	if len(*places) == 0 {
		return 0, false
	}
	at, *places = (*places)[0], (*places)[1:]
	return at, true
}

// bring notes the place of a unit that brings a cord or a dummy.
func (s *stock) bring(u *unit, place int) {
	switch {
	case u.move.Do == plan.Pull:
		s.pulled[u.length] = append(s.pulled[u.length], place)
	case u.move.Do == plan.PullDummy:
		s.pulledDummies = append(s.pulledDummies, place)
	}
}
