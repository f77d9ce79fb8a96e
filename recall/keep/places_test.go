package keep

import (
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
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
		if isSocket(s, c.at) != c.want || isJack(s, c.at) != c.want || exists(s, c.at) != c.want {
			t.Errorf("%s is a socket: %v, want %v", c.at, !c.want, c.want)
		}
	}
	keys, horn, drums := name.At("keys", "out", 1), name.At("horn", "out", 1), name.At("drums", "out", 1)
	k := &machine{}
	k.studio = s
	k.memory.Intent.Wanted = &session.Session{Guests: []studio.Gear{{Name: "keys", Ports: []studio.Port{{Point: keys, Direction: studio.Output}}}}}
	k.memory.Known.Leads = []KnownLead{{Lead: patch.Lead{Port: horn, Jack: name.At("floor-a", "", 2)}}}
	if !k.hasPort(keys) || !k.hasPort(horn) || k.hasPort(drums) {
		t.Errorf("keys are there: %v, the horn %v, the drums %v", k.hasPort(keys), k.hasPort(horn), k.hasPort(drums))
	}
}
