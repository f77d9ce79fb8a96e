package suspect

import (
	"math"
	"slices"

	"bayhand/model/name"
)

// Places is at how many different places causes are: at one cord, at two that would be
// swapped, at one jack.
func Places(causes []Mistake) int {
	var seen [][]name.Point
	for _, m := range causes {
		at := m.place()
		if !slices.ContainsFunc(seen, func(q []name.Point) bool { return slices.Equal(at, q) }) {
			seen = append(seen, at)
		}
	}
	return len(seen)
}

// place are the ends of the cords that a mistake is about, or the jacks where there is no
// cord that was told.
func (m Mistake) place() []name.Point {
	at := slices.Clone(m.At[:min(2, len(m.At))])
	if m.Code == CordsSwapped {
		at = slices.Clone(m.At)
	}
	slices.SortFunc(at, name.Point.Compare)
	return at
}

// placesLeft is at how many places causes are on average once something more was read that
// tells groups of them apart: a group comes up as often as hands make its mistakes, which
// is exp(-cost).
func placesLeft(groups [][]Mistake) float64 {
	places, all := 0.0, 0.0
	for _, group := range groups {
		weight := 0.0
		for _, m := range group {
			weight += math.Exp(-m.Cost)
		}
		places, all = places+weight*float64(Places(group)), all+weight
	}
	return places / all
}

// grouped parts causes by what each would have read; nil where one would have nothing.
func grouped(causes []Mistake, pictures [][]Class) [][]Mistake {
	var groups [][]Mistake
	var read [][]Class
	for n, m := range causes {
		if pictures[n] == nil {
			return nil
		}
		at := slices.IndexFunc(read, func(other []Class) bool { return slices.EqualFunc(other, pictures[n], alike) })
		if at < 0 {
			at = len(read)
			read, groups = append(read, pictures[n]), append(groups, nil)
		}
		groups[at] = append(groups[at], m)
	}
	return groups
}

// alike says whether two classes may be read as one whatever gear is on the way.
func alike(a, b Class) bool {
	return a == b || a == ThroughGear && b == Present || a == Present && b == ThroughGear
}

// narrow leaves the causes of a finding of which each gives what was read at every pair
// that the causes do not have alike; pictures are theirs, nil where one is not known. Where
// no cause would be left the finding stays as it is.
func (c *Scene) narrow(f Finding, pictures [][]Class, read []Class) Finding {
	var left []Mistake
	for n, m := range f.causes() {
		if n >= len(pictures) || pictures[n] == nil || c.givesAll(pictures, pictures[n], read) {
			left = append(left, m)
		}
	}
	if len(left) == 0 {
		return f
	}
	f.Mistake, f.OrElse = left[0], left[1:]
	return f
}

func (c *Scene) givesAll(all [][]Class, one, read []Class) bool {
	for at := range read {
		differ := slices.ContainsFunc(all, func(other []Class) bool { return other != nil && other[at] != one[at] })
		if differ && !fits(one[at], c.readable(at, read[at])) {
			return false
		}
	}
	return true
}
