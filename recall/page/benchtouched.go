package page

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/recall/page/bench"
	"bayhand/recall/words"
)

// benchTouched is the jack in hand or the point that is followed.
type benchTouched struct {
	touched
	// Held is what is in the jack.
	Held  string
	Modes []benchMode
	Pair  string
}

type benchMode struct {
	Word string
	Now  bool
}

func (h benchHandler) benchTouched(b practice, a bench.Answer) *benchTouched {
	at := b.At
	if !b.Hand.IsZero() {
		at = b.Hand
	}
	if at.IsZero() || !a.Room.Has(at) {
		return nil
	}
	t := &benchTouched{touched: touched{
		Name: at.String(), Words: h.page.words.Point(at), Close: "/bench?do=drop", IsJack: h.page.takesPlug(at), lit: map[name.Point]bool{at: true},
	}}
	follower(h).follow(&t.touched, present{room: a.Room, state: a.State, patch: b.Patch}, asked{At: at})
	for _, spots := range [][]spot{t.Hears, t.Reaches, t.Origins, t.Onward} {
		for i := range spots {
			spots[i].Follow = "/bench?do=at&a=" + spots[i].Name
		}
	}
	if behind := h.page.words.Behind(at); behind != "" {
		t.Facts = append(t.Facts, words.Put("behind it: {port}", "port", behind))
	}
	if !t.IsJack {
		return t
	}
	t.Held = h.heldAt(b, at)
	if !h.page.isBay(at.Owner) {
		return t
	}
	t.Pair = fmt.Sprintf("%s %d", h.page.words.Owner(at.Owner), at.Number)
	now := b.Like(h.page.Studio, at)
	for _, m := range bench.Modes {
		t.Modes = append(t.Modes, benchMode{m.String(), m == now})
	}
	return t
}

// heldAt is what is in a jack, in a phrase; empty for nothing.
func (h benchHandler) heldAt(b practice, at name.Point) string {
	for i, c := range b.Patch.Cords {
		if slices.Contains(c.Ends(), at) {
			return words.Put("cord {letter}: {jacks}", "letter", markNumber(b.Marks[i]).Letter, "jacks", h.page.words.Points(c.Ends()))
		}
	}
	switch ends := b.In(at); len(ends) {
	case 2:
		return words.Put("a gear cable: {places}", "places", h.page.words.Points(ends))
	case 1:
		return "a dummy plug"
	}
	return ""
}
