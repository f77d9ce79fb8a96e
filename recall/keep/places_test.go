package keep

import (
	"testing"

	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Sockets of boxes take plugs, and the ports of guests are ports as long as
// their session is meant or their leads are in.
func TestPlacesOfBoxesAndGuests(t *testing.T) {
	s := &studio.Studio{Boxes: []studio.Box{{Name: "floor-a", Sockets: 2}}}
	for _, c := range []struct {
		at   name.Point
		want bool
	}{
		{name.At("floor-a", "", 1), true},
		{name.At("floor-a", "", 2), true},
		{name.At("floor-a", "", 3), false},
		{name.At("floor-a", "t", 1), false},
		{name.At("floor-b", "", 1), false},
	} {
		if hand.IsSocket(s, c.at) != c.want || hand.TakesPlug(s, c.at) != c.want || exists(s, c.at) != c.want || exists(alone(s, c.at.Owner), c.at) != c.want {
			t.Errorf("%s is a socket: %v, want %v", c.at, !c.want, c.want)
		}
	}
}
