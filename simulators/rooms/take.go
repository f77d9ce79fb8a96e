package rooms

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// take draws one of the points and removes it; false when there is none.
func (d *drawer) take(from *[]name.Point) (name.Point, bool) {
	if len(*from) == 0 {
		return name.Point{}, false
	}
	i := d.r.IntN(len(*from))
	p := (*from)[i]
	*from = slices.Delete(*from, i, i+1)
	return p, true
}

// takeOf draws among the points with a stem, and failing those among all.
func (d *drawer) takeOf(stem string, from *[]name.Point) (name.Point, bool) {
	var fitting []name.Point
	for _, p := range *from {
		if p.Stem == stem {
			fitting = append(fitting, p)
		}
	}
	p, ok := d.take(&fitting)
	if !ok {
		return d.take(from)
	}
	remove(from, p)
	return p, true
}

// remove takes out a point; false when it is not there.
func remove(from *[]name.Point, p name.Point) bool {
	i := slices.Index(*from, p)
	if i >= 0 {
		*from = slices.Delete(*from, i, i+1)
	}
	return i >= 0
}

// side is the usual row, and one time in twelve the other.
func (d *drawer) side(usual string) string {
	if d.often(8) {
		return opposite(usual)
	}
	return usual
}

func opposite(stem string) string {
	if stem == studio.Top {
		return studio.Bottom
	}
	return studio.Top
}
