package suspect

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Spared are the inputs of a studio that no test sound may come to: of loudspeakers and
// headphones, of microphones with phantom power, and those with test: no; but not those
// that somebody answers for.
func Spared(s *studio.Studio, answered func(gear string, input name.Point) bool) []name.Point {
	var found []name.Point
	for _, g := range s.Gear {
		for _, p := range g.Ports {
			ears := g.Role == studio.Loudspeaker || g.Role == studio.Headphone
			phantom := p.Line.Phantom && p.Line.Kind == studio.MicLevel
			if p.Direction == studio.Input && (ears || phantom || g.NoTest || p.NoTest) && !answered(g.Name, p.Point) {
				found = append(found, p.Point)
			}
		}
	}
	return found
}

// Risks are the outputs that could come to spared inputs, as told or by one mistake,
// with all that desks and software might let through.
func Risks(s Setup, spared []name.Point) []Reach {
	if len(spared) == 0 {
		return nil
	}
	s.Inside = append([]studio.Pass{}, s.Inside...)
	for _, g := range s.Room.Studio().Gear {
		s.Inside = append(s.Inside, g.CanPass...)
	}
	s.Inputs, s.Reference = spared, nil
	return New(s).Reaches()
}
