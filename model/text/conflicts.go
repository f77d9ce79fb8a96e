package text

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// conflicts are wants that cannot be together with what the session selects, or
// with each other, whatever is plugged.
func (s *sessionReader) conflicts() {
	unselected := s.unselected()
	wanted := map[name.Point]session.Want{}
	for _, w := range s.session.Wants {
		wanted[w.Destination] = w
		if stands, out := unselected[w.Source]; out {
			s.conflict(w, "select", "select it, or take another source", "%s is not selected in this session; %s is", w.Source, portsText(firstRange(stands)))
		}
	}
	for _, g := range s.index.gear {
		for _, steal := range g.Overrides {
			w, rear := wanted[steal.Rear]
			if _, front := wanted[steal.Front]; rear && front {
				s.conflict(w, "steals", "take one of the two", "%s hears nothing in this session, since %s takes it over", steal.Rear, steal.Front.Port())
			}
		}
	}
}

func (s *sessionReader) conflict(w session.Want, code, hint, format string, args ...any) {
	place, _ := s.places.Of(w.Key)
	s.report(place, code, hint, format, args...)
}

// unselected are the ports that are out of use, each with the choice that stands
// instead.
func (s *sessionReader) unselected() map[name.Point][]name.Point {
	out := map[name.Point][]name.Point{}
	for _, g := range s.index.gear {
		for i, one := range g.Selects {
			stands := s.standing(g, i)
			for _, p := range slices.Concat(one.Choices...) {
				if !slices.Contains(stands, p) {
					out[p] = stands
				}
			}
		}
	}
	return out
}

// standing is the choice of a switch in this session: the first unless it says.
func (s *sessionReader) standing(g *studio.Gear, at int) []name.Point {
	for _, c := range s.session.Selections {
		if i, _ := choiceOf(g, c.Ports); c.Gear == g.Name && i == at {
			return c.Ports
		}
	}
	return g.Selects[at].Choices[0]
}
