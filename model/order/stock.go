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
	// pulled are the steps that have brought cords, by length, and dummies.
	pulled        map[measure.Length][]string
	pulledDummies []string
}

const plenty = 1 << 30

func newStock(a *arranger) *stock {
	s := a.room.Studio()
	own := &stock{endless: s.Stock.Unlimited, cords: map[measure.Length]int{}, pulled: map[measure.Length][]string{}, dummies: plenty}
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

// supplier takes what a unit plugs from the stock, and is the step that brings
// it there where nothing lies ready; else empty.
func (s *stock) supplier(u *unit) string {
	if !s.lacks(u) {
		if u.move.Do == plan.Plug || u.move.Do == plan.PlugDummy {
			s.take(u, 1)
		}
		return ""
	}
	steps := s.pulled[u.length]
	if u.move.Do == plan.PlugDummy {
		steps = s.pulledDummies
	}
	if len(steps) == 0 {
		return "" // the plan has counted it; it is of a length of its own
	}
	if u.move.Do == plan.PlugDummy {
		s.pulledDummies = steps[1:]
	} else {
		s.pulled[u.length] = steps[1:]
	}
	return steps[0]
}

// bring notes the step of a unit that brings a cord or a dummy.
func (s *stock) bring(u *unit, step string) {
	switch {
	case u.move.Do == plan.Pull:
		s.pulled[u.length] = append(s.pulled[u.length], step)
	case u.move.Do == plan.PullDummy:
		s.pulledDummies = append(s.pulledDummies, step)
	}
}
