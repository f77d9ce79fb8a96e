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
	unlimited bool
	cords     map[measure.Length]int
	dummies   int
	// pulled are the places of the actions that have brought cords, by length, and
	// dummies.
	pulled        map[measure.Length][]int
	pulledDummies []int
}

const plenty = 1 << 30

func newStock(f *facts) *stock {
	s := f.studio
	own := &stock{unlimited: s.Stock.Unlimited, cords: map[measure.Length]int{}, pulled: map[measure.Length][]int{}, dummies: plenty}
	for _, c := range s.Stock.Cords {
		own.cords[c.Length] += c.Count
	}
	for _, c := range f.from.Cords {
		length := lengthOf(s, c.Length, c.Ends())
		own.cords[length] = max(own.cords[length]-1, 0)
	}
	if s.Dummies >= 0 {
		own.dummies = max(s.Dummies-len(f.from.Dummies), 0)
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

// lacks says whether nothing lies ready that an action plugs.
func (s *stock) lacks(a *action) bool {
	switch {
	case a.move.Do == plan.Plug:
		return !s.unlimited && s.cords[a.length] <= 0
	case a.move.Do == plan.PlugDummy:
		return s.dummies <= 0
	}
	return false
}

// supplies says whether an action brings what another lacks.
func (a *action) supplies(lacking *action) bool {
	switch {
	case a.move.Do == plan.Pull && lacking.move.Do == plan.Plug:
		return a.length == lacking.length
	case a.move.Do == plan.PullDummy:
		return lacking.move.Do == plan.PlugDummy
	}
	return false
}

// take counts what an action takes from the stock and gives back; by is -1 to undo
// it.
func (s *stock) take(a *action, by int) {
	switch {
	case a.move.Do == plan.Plug:
		s.cords[a.length] -= by
	case a.move.Do == plan.Pull:
		s.cords[a.length] += by
	case a.move.Do == plan.PlugDummy:
		s.dummies -= by
	case a.move.Do == plan.PullDummy:
		s.dummies += by
	}
}

// supplier takes what an action plugs from the stock, and is the place of the action
// that brings it there where nothing lies ready.
func (s *stock) supplier(a *action) (at int, ok bool) {
	if !s.lacks(a) {
		if a.move.Do == plan.Plug || a.move.Do == plan.PlugDummy {
			s.take(a, 1)
		}
		return 0, false
	}
	if a.move.Do == plan.PlugDummy {
		return next(&s.pulledDummies)
	}
	places := s.pulled[a.length]
	at, ok = next(&places)
	s.pulled[a.length] = places
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

// bring notes the place of an action that brings a cord or a dummy.
func (s *stock) bring(a *action, place int) {
	switch {
	case a.move.Do == plan.Pull:
		s.pulled[a.length] = append(s.pulled[a.length], place)
	case a.move.Do == plan.PullDummy:
		s.pulledDummies = append(s.pulledDummies, place)
	}
}
