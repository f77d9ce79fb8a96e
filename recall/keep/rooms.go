package keep

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/scope"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// The rooms of a studio can hold different sessions at once. Which rooms a
// session is in follows from what it names: gear that is part of a room, or that
// is wired to a part of one. Sessions that share no room are held side by side. Each is
// planned with its rooms and what is in no room, without what the others hold of that.

// Held is a session that rooms are in beside the one that was recalled last.
type Held struct {
	Session string           `json:"session"`
	Options RecallOptions    `json:"options"`
	Wanted  *session.Session `json:"wanted"`
	// Rooms are the names of the rooms that it is in; never none.
	Rooms []string `json:"rooms"`
	// Meaning changes when the studio or the session asks for something else.
	Meaning string `json:"meaning,omitempty"`
	// NotGiven is true where its own plan does not give all of it, and Missing what not.
	NotGiven bool           `json:"not-given,omitempty"`
	Missing  []plan.Missing `json:"missing,omitempty"`
}

// RoomStatus is one room of the studio and the session that it is in; an empty
// one for none.
type RoomStatus struct {
	Room    string `json:"room"`
	Session string `json:"session"`
	// LeaveCords is true where cords that the session does not need are left in.
	LeaveCords bool `json:"leave-cords,omitempty"`
	// Phase is how far the room is; empty where nobody keeps it.
	Phase Phase `json:"phase,omitempty"`
	// NotGiven is true where not all of the session is possible.
	NotGiven bool `json:"not-given,omitempty"`
	// Undo is true where the last recall there can be undone.
	Undo bool `json:"undo,omitempty"`
}

// RoomsOf says which session each room of the studio is in, in the order of its
// file; none where all is one room.
func RoomsOf(s *studio.Studio, m Memory) []RoomStatus {
	if s == nil || len(s.Rooms) == 0 {
		return nil
	}
	var all []RoomStatus
	held := m.Intent.held(s)
	for _, r := range s.Rooms {
		_, before := m.pastOf(r.Name)
		one := RoomStatus{Room: r.Name, Undo: before}
		for _, h := range held {
			if slices.Contains(h.Rooms, r.Name) {
				one.Session, one.LeaveCords, one.NotGiven = h.Session, h.Options.LeaveCords, h.NotGiven
			}
		}
		all = append(all, one)
	}
	return all
}

// wanted are all sessions that are intended, the one recalled last first.
func (in Intent) wanted() []*session.Session {
	var all []*session.Session
	if in.Wanted != nil {
		all = append(all, in.Wanted)
	}
	for _, h := range in.Others {
		all = append(all, h.Wanted)
	}
	return all
}

// held are all sessions that rooms are in, the one recalled last first.
func (in Intent) held(s *studio.Studio) []Held {
	var all []Held
	if in.Wanted != nil {
		own := Held{Session: in.Session, Options: in.Options, Wanted: in.Wanted, Rooms: scope.RoomsOf(s, in.Wanted), Meaning: in.Meaning}
		if in.Plan != nil {
			own.NotGiven, own.Missing = !in.Plan.Given, in.Plan.Missing
		}
		all = append(all, own)
	}
	return append(all, in.Others...)
}

// overlap are those of a that are in b too, less those that are not.
func overlap[T comparable](a, b []T) []T {
	return slices.DeleteFunc(slices.Clone(a), func(r T) bool { return !slices.Contains(b, r) })
}

func less[T comparable](a, b []T) []T {
	return slices.DeleteFunc(slices.Clone(a), func(r T) bool { return slices.Contains(b, r) })
}

// beside puts the sessions that stay into an intent. One in the same rooms is
// replaced; one that shares some of them is in the way, unless the new one is to
// take its place.
func (w planning) beside(in *Intent) error {
	s := w.studio
	if len(s.Rooms) == 0 {
		return nil
	}
	rooms := []string{in.Options.Room}
	switch {
	case in.Wanted != nil:
		rooms = scope.RoomsOf(s, in.Wanted)
	case in.Options.Room == "":
		return nil // rest for all of it
	}
	var met []string
	for _, h := range w.memory.Intent.held(s) {
		common := overlap(h.Rooms, rooms)
		switch {
		case len(common) == 0:
			in.Others = append(in.Others, h)
		case h.Session == in.Session, slices.Equal(h.Rooms, rooms), in.Wanted == nil, in.Options.Instead:
		default:
			met = append(met, fmt.Sprintf("%s needs %s, in use by %s", in.Session, w.touching(in.Wanted, common), holder(h.Session, h.Rooms)))
		}
	}
	if len(met) == 0 {
		return nil
	}
	return tell(ErrBeside, "%s. Strip that room first, or recall %s instead", strings.Join(met, "; "), in.Session)
}

// touching are some of the places that a session names in rooms.
func (w planning) touching(wanted *session.Session, rooms []string) string {
	var names []string
	for _, p := range scope.Places(w.studio, wanted) {
		if text := p.String(); slices.Contains(rooms, scope.RoomOf(w.studio, p)) && !slices.Contains(names, text) {
			names = append(names, text)
		}
	}
	return some(names)
}

// checkRoom refuses a room that the studio does not have.
func (w planning) checkRoom(room string, isRest bool) error {
	if room == "" {
		return nil
	}
	if !isRest {
		return tell(ErrUsage, "a session names its own rooms; name a room only to strip it")
	}
	var names []string
	for _, r := range w.studio.Rooms {
		names = append(names, r.Name)
	}
	switch {
	case slices.Contains(names, room):
		return nil
	case names == nil:
		return tell(ErrUsage, "there is no room %s: the studio's file has no rooms:", room)
	}
	return tell(ErrUsage, "there is no room %s; there are %s", room, strings.Join(names, ", "))
}

// merged is all that is intended, as one session; nil for rest.
func (in Intent) merged(s *studio.Studio) *session.Session {
	if len(in.Others) == 0 {
		return in.Wanted
	}
	all := &session.Session{Name: in.Session, Program: -1}
	for _, h := range in.held(s) {
		join(all, *h.Wanted, partsOutside(s, h.Rooms))
	}
	return all
}

// join adds what a session asks for, which keeps to its own rooms.
func join(all *session.Session, one session.Session, avoid []string) {
	chains := 0
	for _, w := range all.Wants {
		chains = max(chains, w.Chain+1)
	}
	for _, w := range one.Wants {
		w.Chain += chains
		w.Avoid = slices.Concat(w.Avoid, avoid)
		all.Wants = append(all.Wants, w)
	}
	all.Guests = append(all.Guests, one.Guests...)
	all.Selections = append(all.Selections, one.Selections...)
	all.Silent = append(all.Silent, one.Silent...)
	all.Cut = append(all.Cut, one.Cut...)
	all.Loops = append(all.Loops, one.Loops...)
	all.Inside = append(all.Inside, one.Inside...)
}

// partsOutside are the bays and matrices of rooms other than these.
func partsOutside(s *studio.Studio, rooms []string) []string {
	var parts []string
	of := map[string]string{}
	for _, r := range s.Rooms {
		for _, p := range r.Parts {
			of[p] = r.Name
		}
	}
	consider := func(owner string) {
		if r := of[owner]; r != "" && !slices.Contains(rooms, r) {
			parts = append(parts, owner)
		}
	}
	for _, b := range s.Bays {
		consider(b.Name)
	}
	for _, m := range s.Matrices {
		consider(m.Name)
	}
	return parts
}

// leavesCords says whether cords that nothing needs stay in: a recall in one room
// pulls nothing that was left in another.
func (in Intent) leavesCords() bool {
	return in.Options.LeaveCords || slices.ContainsFunc(in.Others, func(h Held) bool { return h.Options.LeaveCords })
}

// effort is what a plan for all of its sessions may take: as much as that of any of them.
func (in Intent) effort() int64 {
	most := in.Options.Effort
	for _, h := range in.Others {
		most = max(most, h.Options.Effort)
	}
	return most
}

// owned is what of a patch is not in the rooms of the other sessions.
func (in Intent) owned(s *studio.Studio, p patch.Patch) patch.Patch {
	if len(in.Others) == 0 {
		return p
	}
	theirs := func(points ...name.Point) bool {
		return slices.ContainsFunc(points, func(q name.Point) bool {
			return slices.ContainsFunc(in.Others, func(h Held) bool { return slices.Contains(h.Rooms, scope.RoomOf(s, q)) })
		})
	}
	p = p.Clone()
	p.Cords = slices.DeleteFunc(p.Cords, func(c patch.Cord) bool { return theirs(c.Ends()...) })
	p.Leads = slices.DeleteFunc(p.Leads, func(l patch.Lead) bool { return theirs(l.Jack) })
	p.Dummies = slices.DeleteFunc(p.Dummies, func(j name.Point) bool { return theirs(j) })
	p.Crosspoints = slices.DeleteFunc(p.Crosspoints, func(c patch.Crosspoint) bool { return theirs(c.Output) })
	return p
}

// whole is all that is intended, in words: "heron in mix, tern in live".
func (in Intent) whole(s *studio.Studio) string {
	if len(in.Others) == 0 {
		return in.title()
	}
	var texts []string
	if in.Wanted == nil {
		texts = append(texts, phrase.Put("{session} in {room}", "session", in.title(), "room", in.Options.Room))
	}
	for _, h := range in.held(s) {
		texts = append(texts, fmt.Sprintf("%s in %s", h.Session, strings.Join(h.Rooms, " and ")))
	}
	return strings.Join(texts, ", ")
}
