package words

import (
	"bayhand/model/name"
	"bayhand/model/studio"
)

// direction of a port of gear, as the studio has it.
func (w *Words) direction(p name.Point) studio.Direction {
	for _, g := range w.studio.Gear {
		if g.Name != p.Owner {
			continue
		}
		for _, port := range g.Ports {
			if port.Point == p {
				return port.Direction
			}
		}
	}
	return studio.DirectionUnknown
}

// MuteAt says where a person mutes a loudspeaker or headphone: the switch that
// the studio names, or empty where it names none.
func (w *Words) MuteAt(p name.Point) string {
	for _, g := range w.studio.Gear {
		if g.Name == p.Owner {
			return Clean(g.Mute.At)
		}
	}
	return ""
}
