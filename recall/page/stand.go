package page

import (
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/studio"
)

// side is where a bay's picture stands among the others.
type side struct {
	// place counts the pictures from above; indent is in millimetres.
	place  int
	indent float64
	// first is true for the uppermost of a rack.
	first bool
}

// near is how far apart, from left to right, bays of one rack can begin. What is
// further away is another rack or another room.
const near = 100 * measure.Centimetre

// stand puts the bays as they stand in the room: rack by rack from left to right,
// and within one from above to below, each as far to the right as it is there.
func (h drawer) stand() map[string]side {
	type stood struct {
		name string
		at   layout.Spot
		rack measure.Length
	}
	var all []stood
	for _, b := range h.page.Studio.Bays {
		if b.Pairs() == 0 {
			continue
		}
		spot, _ := layout.At(h.page.Studio, b.TopJack(1))
		all = append(all, stood{name: b.Name, at: spot})
	}
	slices.SortStableFunc(all, func(a, b stood) int { return sign(a.at.X - b.at.X) })
	for i := range all {
		all[i].rack = all[i].at.X
		if i > 0 && all[i].at.X-all[i-1].rack < near {
			all[i].rack = all[i-1].rack
		}
	}
	slices.SortStableFunc(all, func(a, b stood) int {
		if a.rack != b.rack {
			return sign(a.rack - b.rack)
		}
		return sign(b.at.Y - a.at.Y)
	})
	sides := map[string]side{}
	for i, s := range all {
		sides[s.name] = side{i, float64(s.at.X-s.rack) / float64(measure.Millimetre), i == 0 || all[i-1].rack != s.rack}
	}
	return sides
}

func sign(l measure.Length) int {
	switch {
	case l < 0:
		return -1
	case l > 0:
		return 1
	}
	return 0
}

// standing are the studio's bays in the order of their pictures.
func (h drawer) standing() []studio.Bay {
	bays := slices.Clone(h.page.Studio.Bays)
	slices.SortStableFunc(bays, func(a, b studio.Bay) int { return h.page.sides[a.Name].place - h.page.sides[b.Name].place })
	return bays
}
