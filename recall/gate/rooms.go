package gate

import (
	"fmt"
	"slices"

	"bayhand/model/house"
	"bayhand/model/scope"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// room is the one of this host that a session is in first. A session in a room of
// another host is recalled there.
func (g *Gate) room(s *studio.Studio, act keep.Act) (string, error) {
	wanted := g.config.Session(act.Session)
	if act.Session == keep.RestName || wanted == nil || len(s.Rooms) == 0 {
		return g.first(), nil
	}
	room := ""
	for _, r := range scope.RoomsOf(s, wanted) {
		if g.own(r) {
			room = max(room, r)
			continue
		}
		if there, differs := g.versions.elsewhere(r); differs && slices.Contains(g.host.Rooms, r) {
			return "", fmt.Errorf("%w: %s is in room %s, which this host keeps by the house file here, and %s by the one that the hosts go by",
				keep.ErrConflict, act.Session, r, hostsOr(there))
		}
		other, _ := g.config.House.Of(r)
		return "", fmt.Errorf("%w: %s is in room %s, which host %s keeps; recall it there%s", keep.ErrConflict, act.Session, r, other.Name, pageOf(other))
	}
	return room, nil
}

func pageOf(h house.Host) string {
	if h.Page == "" {
		return ""
	}
	return ": " + h.Page
}

// own says whether this host keeps a room, by the file here and by the one that the hosts
// go by.
func (g *Gate) own(room string) bool {
	_, differs := g.versions.elsewhere(room)
	return slices.Contains(g.host.Rooms, room) && !differs
}

// first is the host's first room, or its own name where it keeps none.
func (g *Gate) first() string {
	if len(g.host.Rooms) == 0 {
		return g.host.Name
	}
	return g.host.Rooms[0]
}
