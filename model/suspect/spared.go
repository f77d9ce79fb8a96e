package suspect

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Spared are the inputs of a studio that no test sound may come to: those by which
// loudspeakers and headphones sound, those of microphones with phantom power, and those
// with test: no; but not those that somebody answers for. Who answers for all that a power
// amplifier drives answers for it.
func Spared(room *graph.Graph, answered func(gear string, input name.Point) bool) []name.Point {
	var found []name.Point
	for _, g := range room.Studio.Gear {
		for _, p := range g.Ports {
			phantom := p.Line.Phantom && p.Line.Kind == studio.MicLevel
			if p.Direction != studio.Input || answered(g.Name, p.Point) {
				continue
			}
			driven := graph.Driven(room, g, p.Point)
			open := func(q name.Point) bool { return !answered(q.Owner, q) }
			loud := graph.Loud(g, p) && (len(driven) == 0 || slices.ContainsFunc(driven, open))
			if loud || phantom || g.NoTest || p.NoTest {
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
