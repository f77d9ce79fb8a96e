package houses

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
)

// ask is the session that a hand's patch gives: what is heard otherwise than at
// rest, with some of what is as at rest, and some silences. What is heard already
// may be one not to be interrupted.
func (h *hand) ask(before *hand) *session.Session {
	rest := h.room.Hear(h.places.studio.Rest)
	s := &session.Session{Title: "what is asked of " + h.places.studio.Name, Program: -1, Inside: h.software}
	asRest, silences := h.size.between(1.5, 3, 9, 160), h.size.between(1.5, 2.5, 3, 45)
	kept := h.dice.IntN(h.size.between(2, 2, 4, 9))
	chains := map[name.Point]int{}
	for _, in := range some(h.dice, h.places.inputs) {
		hears, usual := h.live.Hears(in), rest.Hears(in)
		switch same := slices.Equal(hears, usual); {
		case len(hears) == 0 && (h.served(in) || silences > 0 && (!same || h.dice.often(20))):
			s.Silent = append(s.Silent, in)
			silences--
		case len(hears) != 1 || same && !h.served(in) && asRest <= 0:
		default:
			if same {
				asRest--
			}
			if _, had := chains[hears[0]]; !had {
				chains[hears[0]] = len(chains)
			}
			w := session.Want{Source: hears[0], Destination: in, Chain: chains[hears[0]]}
			if kept > 0 && h.dice.often(30) && slices.Equal(before.live.Hears(in), hears) {
				w.Keep, w.Chain = true, 1000+len(s.Wants)
				kept--
			}
			s.Wants = append(s.Wants, w)
		}
	}
	return s
}

// another changes one line of the session: a destination hears another source,
// and all else is as it was.
func (e *evening) another(h *hand) {
	for i := len(h.deeds) - 1; i >= max(0, len(h.deeds)-12); i-- {
		d := h.deeds[i]
		if d.source.IsZero() {
			continue
		}
		other := newHand(e, patch.Patch{}, h.software)
		good := true
		for k, had := range h.deeds {
			good = good && (k == i || other.try(had))
		}
		for range 10 {
			source := one(e.dice, e.places.outputs)
			if good && source != d.source && other.serve(source, d.destination) && e.changes(other, d.destination, source) {
				return
			}
		}
	}
}

// changes takes the session with one destination changed, if a hand's patch
// gives it.
func (e *evening) changes(h *hand, destination, source name.Point) bool {
	s := *e.session
	s.Wants = slices.Clone(s.Wants)
	for i, w := range s.Wants {
		if w.Destination == destination {
			s.Wants[i].Source, s.Wants[i].Chain = source, 2000
		}
	}
	if len(e.room.CheckGiven(&s, h.patch, nil)) > 0 {
		return false
	}
	e.line, e.lineAnswer = &s, h.patch
	return true
}

// own sets how many cords are owned: as drawn, or no more than both patches take,
// and one.
func (b *builder) own(e *evening, few bool) {
	for i := range b.cords {
		if !few {
			continue
		}
		most := 0
		for _, p := range []patch.Patch{e.present, e.answer, e.lineAnswer} {
			count := 0
			for _, c := range p.Cords {
				if c.Length == e.places.studio.Stock.Cords[i].Length {
					count++
				}
			}
			most = max(most, count)
		}
		b.cords[i].count = most + 1
	}
}
