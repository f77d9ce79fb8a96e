package page

import (
	"fmt"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// ending says what is left to the end, and what is heard then.
type ending struct{ page *page }

// road is where a recall is on its way: moves, then the settings of the gear, then
// what is heard. The card says it all, so that nobody looks for it further down.
type road struct {
	// Warns is what the session says of itself, while there are moves to make.
	Warns string
	// Fresh is true until the first move of this recall was made by hand: the general
	// cautions stand on the card then, and below afterwards.
	Fresh bool
	// ToSet is how many settings are still to make.
	ToSet int
	// Setting is true where the settings are what comes next.
	Setting bool
	// Ready is true where the room gives the session and each setting is made.
	Ready bool
	// Heard is what is heard where, once the moves are made.
	Heard []string
}

func (h ending) road(v *view, now present, s keep.Status) road {
	r := road{Fresh: v.Undo == nil}
	if v.Sheet != nil {
		r.ToSet = v.Sheet.Left
		if len(v.Left) > 0 {
			r.Warns = v.Sheet.Notes
		}
	}
	if s.Phase != keep.Given || now.wanted == nil {
		return r
	}
	r.Setting, r.Ready = r.ToSet > 0, r.ToSet == 0
	r.Heard = h.heardHere(now.wanted, now.state)
	return r
}

// heardHere is what the session's destinations hear, one phrase for those that are
// counted on: "stems: interface out 1 to 8 -> desk in 1 to 8".
func (h ending) heardHere(s *session.Session, state *heard.State) []string {
	var all []string
	for i := 0; i < len(s.Wants); {
		one := s.Wants[i]
		n := 1
		for i+n < len(s.Wants) && goesOn(one, s.Wants[i+n], n) && asWanted(state, s.Wants[i+n]) {
			n++
		}
		if !asWanted(state, one) {
			n = 1
		}
		all = append(all, h.heardLine(one, n, state))
		i += n
	}
	return all
}

// goesOn says whether a line is the one of a run that comes n after its first.
func goesOn(first, next session.Want, n int) bool {
	counted := func(a, b name.Point) bool { a.Number += n; return a == b }
	return next.Label == first.Label && counted(first.Source, next.Source) && counted(first.Destination, next.Destination)
}

func asWanted(state *heard.State, w session.Want) bool {
	hears := state.Hears(w.Destination)
	return len(hears) == 1 && hears[0] == w.Source
}

func (h ending) heardLine(w session.Want, n int, state *heard.State) string {
	from, to := h.page.words.Run(w.Source, w.Source.Number+n-1), h.page.words.Run(w.Destination, w.Destination.Number+n-1)
	if !asWanted(state, w) {
		from = "nothing"
		if hears := state.Hears(w.Destination); len(hears) > 0 {
			from = h.page.words.Points(hears)
		}
	}
	text := fmt.Sprintf("%s -> %s", from, to)
	if w.Label != "" {
		text = words.Clean(w.Label) + ": " + text
	}
	return text
}
