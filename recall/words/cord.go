package words

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// Cord is a cord as a hand looks for it on the hook: its length, its colour where all
// cords of that length that fit both jacks are of one, and how many poles it has where
// cords of two and of three fit: "30 cm red TS". Poles are 2 or anything else.
// A cord that is known to be in says the number that is on it: "30 cm, no. 12". Empty
// where nothing is to be said.
func (w *Words) Cord(length measure.Length, poles int, ends []name.Point) string {
	var parts []string
	two, others := w.fitting(length, ends)
	like := others
	if poles == 2 {
		like = two
	}
	if length > 0 {
		parts = append(parts, length.String())
		if colour := oneColour(like); colour != "" && len(ends) == 2 {
			parts = append(parts, colour)
		}
	}
	if pole := w.poles(length, poles, ends); pole != "" {
		parts = append(parts, pole)
	}
	text := strings.Join(parts, " ")
	for _, c := range w.numbers {
		if len(ends) == 2 && c.Same(patch.Cord{A: ends[0], B: ends[1]}) {
			return joined(text, fmt.Sprintf("no. %d", c.Number))
		}
	}
	return text
}

// Numbered are words that say the numbers on the cords that are known to be in.
func (w *Words) Numbered(known keep.Known) *Words {
	with := *w
	with.numbers = nil
	for _, c := range known.Cords {
		if c.Number > 0 {
			with.numbers = append(with.numbers, c)
		}
	}
	return &with
}

// poles says how many a cord has. A cord of two poles among such alone is like any other.
func (w *Words) poles(length measure.Length, poles int, ends []name.Point) string {
	two, others := w.fitting(0, ends)
	switch {
	case poles == 2 && (len(others) > 0 || len(two) == 0):
		return "TS"
	case poles != 2 && length > 0 && len(two) > 0 && len(others) > 0:
		return "TRS"
	}
	return ""
}

// fitting are the kinds of cord owned that fit some jacks, those of two poles apart: of
// one length, or of any where that is 0.
func (w *Words) fitting(length measure.Length, ends []name.Point) (two, others []studio.StockCord) {
	kinds := [2]studio.Jack{studio.JackUnknown, studio.JackUnknown}
	for i, p := range ends {
		if i < len(kinds) {
			kinds[i] = layout.Kind(w.studio, p)
		}
	}
	for _, c := range w.studio.Stock.Cords {
		switch {
		case c.Count < 1 || length != 0 && c.Length != length || !layout.Fits(c.Ends, kinds[0], kinds[1]):
		case c.Poles == 2:
			two = append(two, c)
		default:
			others = append(others, c)
		}
	}
	return two, others
}

// oneColour is the colour that all of some kinds have; empty where they differ, or one
// has none.
func oneColour(kinds []studio.StockCord) string {
	found := ""
	for i, c := range kinds {
		if c.Colour == "" || i > 0 && c.Colour != found {
			return ""
		}
		found = c.Colour
	}
	return Clean(found)
}

// joined are facts in a row, without those that are empty.
func joined(facts ...string) string {
	return strings.Join(slices.DeleteFunc(facts, func(f string) bool { return f == "" }), ", ")
}
