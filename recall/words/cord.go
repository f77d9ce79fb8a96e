package words

import (
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
)

// Cord is a cord as a hand looks for it on the hook: its length, and its colour
// where all cords of that length that fit both jacks are of one: "30 cm red".
// Empty where no length is said.
func (w *Words) Cord(length measure.Length, ends []name.Point) string {
	if length <= 0 {
		return ""
	}
	if colour := w.colour(length, ends); colour != "" {
		return length.String() + " " + colour
	}
	return length.String()
}

func (w *Words) colour(length measure.Length, ends []name.Point) string {
	if len(ends) != 2 {
		return ""
	}
	a, b := layout.Kind(w.studio, ends[0]), layout.Kind(w.studio, ends[1])
	found, one := "", true
	for _, c := range w.studio.Stock.Cords {
		if c.Length != length || c.Count < 1 || !layout.Fits(c.Ends, a, b) {
			continue
		}
		one = one && (found == "" || found == c.Colour) && c.Colour != ""
		found = c.Colour
	}
	if !one {
		return ""
	}
	return Clean(found)
}
