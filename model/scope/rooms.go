// Package scope cuts a studio to the part that a recall is planned in.
//
// A room is a part of the studio that can hold a session of its own: bays, boxes,
// matrices and gear by name, and gear that is wired to these. A scope is some rooms
// and what is in no room, which is shared. What sessions in other rooms hold of the
// shared part is theirs: jacks with their plugs in, lines that lead to their rooms,
// gear and outputs of matrices that they use. No plan of the scope touches it.
//
// Nothing is searched here, and nothing heard: what leads where by solder, cords and
// crosspoints says whose it is.
package scope

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// RoomOf is the room that a place is part of, by itself or by its wires; empty
// where it is in none. It takes time linear in the wires.
func RoomOf(s *studio.Studio, p name.Point) string {
	if r := PartOf(s, p.Owner); r != "" {
		return r
	}
	for _, w := range s.Wires {
		far := name.Point{}
		switch p {
		case w.From:
			far = w.To
		case w.To:
			far = w.From
		}
		if r := PartOf(s, far.Owner); r != "" {
			return r
		}
	}
	return ""
}

// PartOf is the room that a bay, box, matrix or gear is part of by its name; empty
// where it is in none.
func PartOf(s *studio.Studio, owner string) string {
	for _, r := range s.Rooms {
		if slices.Contains(r.Parts, owner) {
			return r.Name
		}
	}
	return ""
}

// RoomsOf are the rooms that a session is in, sorted: all of them where it names
// nothing that is in any.
func RoomsOf(s *studio.Studio, wanted *session.Session) []string {
	part := map[string]string{}
	for _, r := range s.Rooms {
		for _, p := range r.Parts {
			part[p] = r.Name
		}
	}
	var names []string
	add := func(r string) {
		if r != "" && !slices.Contains(names, r) {
			names = append(names, r)
		}
	}
	wired := map[name.Point]bool{} // in a room by their wires alone
	for _, p := range Places(s, wanted) {
		if add(part[p.Owner]); part[p.Owner] == "" {
			wired[p] = true
		}
	}
	for _, w := range s.Wires {
		if len(wired) == 0 {
			break
		}
		for _, ends := range [...][2]name.Point{{w.From, w.To}, {w.To, w.From}} {
			if !wired[ends[0]] {
				continue
			}
			if r := part[ends[1].Owner]; r != "" {
				delete(wired, ends[0]) // by the first of its wires
				add(r)
			}
		}
	}
	if names == nil {
		for _, r := range s.Rooms {
			names = append(names, r.Name)
		}
	}
	slices.Sort(names)
	return names
}

// Places are all that a session names.
func Places(s *studio.Studio, wanted *session.Session) []name.Point {
	points := slices.Clone(wanted.Silent)
	for _, w := range wanted.Wants {
		points = append(points, w.Source, w.Destination)
	}
	for _, g := range s.Gear {
		if slices.Contains(wanted.Cut, g.Name) {
			for _, p := range g.Ports {
				points = append(points, p.Point)
			}
		}
	}
	for _, g := range wanted.Guests {
		for _, at := range g.At {
			points = append(points, name.At(at, "", 1))
		}
	}
	return points
}
