package gate

import (
	"errors"
	"slices"
	"strings"

	"bayhand/model/house"
	"bayhand/model/name"
	"bayhand/model/scope"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// room is the one of this host that a session is in first. A session in a room of
// another host is recalled there.
func (g *Gate) room(s *studio.Studio, act keep.Act) (string, error) {
	wanted := g.config.Session(act.Session)
	if act.Session == keep.RestName || wanted == nil || len(s.Rooms) == 0 {
		return g.first(), nil
	}
	var own, others []string
	for _, r := range scope.RoomsOf(s, wanted) {
		if g.own(r) {
			own = append(own, r)
		} else {
			others = append(others, r)
		}
	}
	if len(others) > 0 {
		return "", keep.Refusal(keep.ErrConflict, errors.New(g.versions.refusal(act.Session, own, others)))
	}
	return slices.Max(append(own, "")), nil
}

// refusal is why a session is not recalled here that is in rooms of other hosts.
func (v *versions) refusal(session string, own, others []string) string {
	first := others[0]
	if there, differs := v.elsewhere(first); differs && slices.Contains(v.host.Rooms, first) {
		return words.Put("{session} is in room {room}, which this host keeps by the house file here, and {hosts} by the one that the hosts go by",
			"session", session, "room", first, "hosts", hostsOr(there))
	}
	other, _ := v.house.Of(first)
	if len(own) == 0 && !slices.ContainsFunc(others, func(r string) bool { h, _ := v.house.Of(r); return h.Name != other.Name }) {
		return words.Put("{session} is in room {room}, which host {host} keeps; recall it there", "session", session, "room", first, "host", other.Name) + pageOf(other)
	}
	var all []string
	for _, r := range slices.Concat(own, others) {
		h, _ := v.house.Of(r)
		all = append(all, words.Put("{room} (host {host})", "room", r, "host", h.Name))
	}
	return words.Put("{session} is in rooms of several hosts: {rooms}. Write a session for each room, with the line between them by its name under lines-to:, "+
		"and recall each at its host; or have one host keep these rooms", "session", session, "rooms", strings.Join(all, ", "))
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

// ofOthers refuses what somebody tells of jacks in rooms of other hosts: those know what is
// in them. That a plug is out there may be told, of one that was told here once.
func (v *versions) ofOthers(act keep.Act, of func() (*studio.Studio, string, error)) error {
	points := map[keep.Deed][]name.Point{keep.Plugged: {act.A, act.B}, keep.Moved: {act.B}, keep.Faulty: {act.A}, keep.Sound: {act.A}}[act.Do]
	points = slices.DeleteFunc(points, name.Point.IsZero)
	if len(points) == 0 {
		return nil
	}
	s, _, err := of()
	if err != nil {
		return nil // the keeper knows what was read last
	}
	for _, p := range points {
		room := roomOf(s, p.Owner)
		if host, is := v.house.Of(room); !is || host.Name == v.host.Name {
			return nil
		}
	}
	room := roomOf(s, points[0].Owner)
	host, _ := v.house.Of(room)
	return keep.Refusal(keep.ErrConflict, errors.New(words.Put("{point} is in room {room}, which host {host} keeps; report it there",
		"point", points[0].String(), "room", room, "host", host.Name)+pageOf(host)))
}
