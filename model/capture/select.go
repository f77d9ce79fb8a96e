package capture

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// selections are the switches that a person must have turned: nothing is asked
// of the choice that stands, and something of another one. The first of those
// is taken.
func selections(s *studio.Studio, wants []want) []session.Selection {
	var turned []session.Selection
	for _, g := range s.Gear {
		for _, sw := range g.Selects {
			at := slices.IndexFunc(sw.Choices, func(c []name.Point) bool { return asks(wants, c) })
			if at > 0 {
				turned = append(turned, session.Selection{Gear: g.Name, Ports: sw.Choices[at]})
			}
		}
	}
	return turned
}

// asks says whether any want is for an output among the ports.
func asks(wants []want, ports []name.Point) bool {
	return slices.ContainsFunc(wants, func(w want) bool { return slices.Contains(ports, w.source) })
}

// outOfUse are the ports that no choice which stands has.
func outOfUse(s *studio.Studio, turned []session.Selection) []name.Point {
	var out []name.Point
	for _, g := range heard.WithSelections(s.Gear, turned) {
		out = append(out, heard.Unselected(g)...)
	}
	return out
}

// divide tells wants whose source is in use from the others.
func divide(wants []want, out []name.Point) (kept, left []want) {
	for _, w := range wants {
		if slices.Contains(out, w.source) {
			left = append(left, w)
			continue
		}
		kept = append(kept, w)
	}
	return kept, left
}

// turnedFrom is how switches stand: as before, but for those that were turned.
func turnedFrom(s *studio.Studio, before, turned []session.Selection) []session.Selection {
	type id struct {
		gear string
		at   int
	}
	of := func(c session.Selection) id { return id{c.Gear, switchOf(s, c)} }
	var again []id
	for _, c := range turned {
		again = append(again, of(c))
	}
	kept := slices.DeleteFunc(slices.Clone(before), func(c session.Selection) bool { return slices.Contains(again, of(c)) })
	return append(kept, turned...)
}

// switchOf is the number of the switch of gear that has a choice.
func switchOf(s *studio.Studio, c session.Selection) int {
	g := s.GearNamed(c.Gear)
	if g == nil {
		return -1
	}
	return slices.IndexFunc(g.Selects, func(sw studio.Select) bool {
		return slices.ContainsFunc(sw.Choices, func(ports []name.Point) bool { return slices.Equal(ports, c.Ports) })
	})
}
