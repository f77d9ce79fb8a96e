package order

import (
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/plan"
)

// Cords are those that a plan plugs and pulls, by kinds with a number each. Where there is
// no end to them it is the zero value.
type Cords struct {
	// Of is the kind of the cord of each move, beside the moves: -1 for one of which there
	// is always another, and any number for a move that neither plugs nor pulls one.
	Of []int
	// Ready is how many of each kind lie ready before anything is done.
	Ready []int
}

// kinds are those of the cords of the moves: as they are counted, else a number for each
// length.
func (f *facts) kinds() []int {
	if f.cords.Of != nil {
		return f.cords.Of
	}
	var lengths []measure.Length
	of := make([]int, len(f.moves))
	for i, m := range f.moves {
		length := m.Length
		if length == 0 && len(m.Ends) == 2 {
			length, _ = layout.Shortest(f.studio, m.Ends[0], m.Ends[1])
		}
		if of[i] = slices.Index(lengths, length); of[i] < 0 {
			of[i] = len(lengths)
			lengths = append(lengths, length)
		}
	}
	return of
}

// stock is what lies ready: cords by their kind, and dummies.
type stock struct {
	unlimited bool
	cords     []int
	dummies   int
	// pulled are the places of the actions that have brought cords, by kind, and
	// dummies.
	pulled        map[int][]int
	pulledDummies []int
}

const plenty = 1 << 30

// newStock is the stock before anything is done.
func newStock(f *facts) *stock {
	own := &stock{unlimited: f.cords.Of == nil, cords: slices.Clone(f.cords.Ready), pulled: map[int][]int{}, dummies: plenty}
	if f.studio.Dummies >= 0 {
		own.dummies = max(f.studio.Dummies-len(f.from.Dummies), 0)
	}
	return own
}

// lacks says whether nothing lies ready that an action plugs.
func (s *stock) lacks(a *action) bool {
	switch {
	case a.move.Do == plan.Plug:
		return s.counts(a) && s.cords[a.kind] <= 0
	case a.move.Do == plan.PlugDummy:
		return s.dummies <= 0
	}
	return false
}

// counts says whether there is an end to the cords of the kind of an action.
func (s *stock) counts(a *action) bool { return !s.unlimited && a.kind >= 0 }

// supplies says whether an action brings what another lacks.
func (a *action) supplies(lacking *action) bool {
	switch {
	case a.move.Do == plan.Pull && lacking.move.Do == plan.Plug:
		return a.kind == lacking.kind
	case a.move.Do == plan.PullDummy:
		return lacking.move.Do == plan.PlugDummy
	}
	return false
}

// take counts what an action takes from the stock and gives back; by is -1 to undo
// it.
func (s *stock) take(a *action, by int) {
	switch {
	case a.move.Do == plan.Plug && s.counts(a):
		s.cords[a.kind] -= by
	case a.move.Do == plan.Pull && s.counts(a):
		s.cords[a.kind] += by
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
	places := s.pulled[a.kind]
	at, ok = next(&places)
	s.pulled[a.kind] = places
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
		s.pulled[a.kind] = append(s.pulled[a.kind], place)
	case a.move.Do == plan.PullDummy:
		s.pulledDummies = append(s.pulledDummies, place)
	}
}
