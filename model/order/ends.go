package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
)

// destinationFirst are the ends of a cord as they are pulled, sourceFirst as they
// are plugged: what hangs from a source is joined with nothing yet.
func (a *arranger) destinationFirst(ends []name.Point) []name.Point {
	ordered := a.fromSource(a.rules.now, ends)
	slices.Reverse(ordered)
	return ordered
}

func (a *arranger) sourceFirst(ends []name.Point) []name.Point {
	return a.fromSource(a.rules.new, ends)
}

// fromSource puts the end first where something is heard, or else driven, with
// the cord cut in the middle.
func (a *arranger) fromSource(n *now, ends []name.Point) []name.Point {
	ordered := slices.Clone(ends)
	if len(ends) < 2 {
		return ordered
	}
	both := patch.Patch{Cords: []patch.Cord{{A: ends[0]}, {A: ends[1]}}}
	n.change(cords(ends...), both)
	if n.sourced(ends[1]) > n.sourced(ends[0]) {
		slices.Reverse(ordered)
	}
	n.change(both, cords(ends...))
	return ordered
}

// sourced is 2 where something is heard at a jack, 1 where an output of a matrix
// stands.
func (n *now) sourced(jack name.Point) int {
	if len(n.Hears(jack)) > 0 {
		return 2
	}
	for _, p := range n.Net(jack) {
		if _, ok := n.amplifiers[p.Owner]; ok && p.Stem == "out" {
			return 1
		}
	}
	return 0
}
