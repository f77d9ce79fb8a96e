package order

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// destinationFirst are the ends of a cord as they are pulled, sourceFirst as they
// are plugged: what hangs from a source is joined with nothing yet.
func destinationFirst(s *state, ends []name.Point) []name.Point {
	ordered := sourceFirst(s, ends)
	slices.Reverse(ordered)
	return ordered
}

// sourceFirst puts the end first where something is heard, or else driven, with
// the cord cut in the middle.
func sourceFirst(s *state, ends []name.Point) []name.Point {
	ordered := slices.Clone(ends)
	if len(ends) < 2 {
		return ordered
	}
	cut := patch.Patch{Cords: []patch.Cord{{A: ends[0]}, {A: ends[1]}}}
	s.change(cords(ends...), cut)
	if s.fed(ends[1]) > s.fed(ends[0]) {
		slices.Reverse(ordered)
	}
	s.change(cut, cords(ends...))
	return ordered
}

// fed is 2 where something is heard at a jack, 1 where an output of a matrix
// stands.
func (s *state) fed(jack name.Point) int {
	if len(s.live.Hears(jack)) > 0 {
		return 2
	}
	for _, p := range s.live.Net(jack) {
		if g := s.numbers.Graph; g.Kinds[g.Number[p]] == graph.MatrixOutput {
			return 1
		}
	}
	return 0
}
