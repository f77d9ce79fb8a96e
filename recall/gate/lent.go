package gate

import (
	"slices"
	"time"

	"bayhand/model/house"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/border"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// Lent is a line by which one room lends another a signal, with what each of both has of
// it. Nobody claims such a line: each end belongs to one room.
type Lent struct {
	Name     string
	From, To End
}

// End is a room at one end of a line.
type End struct {
	Room, Host string
	// Told is true where it is known what the room is in.
	Told bool
	// Session is what it is in, and Uses whether that names this end.
	Session string
	Uses    bool
	Phase   keep.Phase
	// At is when that was told, by the clock there.
	At time.Time
}

// Lent are the named lines of the studio with what both rooms have of them, as far as
// their hosts told, in the order of the file, each once. Own is how the rooms are here.
func (n *Neighbours) Lent(s *studio.Studio, own keep.Status) []Lent {
	var all []Lent
	for _, l := range s.LinesTo {
		if len(all) > 0 && all[len(all)-1].Name == l.Name {
			continue // one of several channels of a line
		}
		all = append(all, Lent{Name: l.Name,
			From: n.end(own, roomOf(s, l.From.Owner), func(w session.Want) bool { return w.Destination.Owner == l.Name }),
			To:   n.end(own, l.Room, func(w session.Want) bool { return w.Source.Owner == l.Name })})
	}
	return all
}

// LentBy is Lent for who keeps none of the rooms, by what their hosts announced. Session is
// one by its name; nil where it cannot be read.
func LentBy(h house.House, s *studio.Studio, announced []border.Announcement, session func(name string) *session.Session) []Lent {
	n := newNeighbours(Config{House: h, Session: session, Now: time.Now}, house.Host{})
	n.heed(border.View{Announced: announced})
	return n.Lent(s, keep.Status{})
}

func roomOf(s *studio.Studio, part string) string {
	for _, r := range s.Rooms {
		if slices.Contains(r.Parts, part) {
			return r.Name
		}
	}
	return ""
}

func (n *Neighbours) end(own keep.Status, room string, names func(session.Want) bool) End {
	host, _ := n.house.Of(room)
	e := End{Room: room, Host: host.Name}
	state, told := n.state(own, room)
	if !told {
		return e
	}
	e.Told, e.Session, e.Phase, e.At = true, state.Session, keep.Phase(state.Phase), state.At
	if e.Session == "" || e.Session == keep.RestName {
		return e
	}
	if read := n.session(e.Session); read != nil {
		e.Uses = slices.ContainsFunc(read.Wants, names)
	}
	return e
}

// awaited are the lines that the session of a room here names while the other room, at
// another host, is not ready for it.
func (n *Neighbours) awaited(s *studio.Studio, own keep.Status) []keep.Problem {
	var all []keep.Problem
	for _, l := range n.Lent(s, own) {
		for _, taking := range []bool{true, false} {
			here, there := l.To, l.From
			if !taking {
				here, there = l.From, l.To
			}
			if n.own(here.Room) && here.Uses && !n.own(there.Room) && !(there.Uses && there.Phase == keep.Given && n.News(there.Room) != Silent) {
				all = append(all, n.await(l.Name, taking, there))
			}
		}
	}
	return all
}

// await says what the other room has of a line.
func (n *Neighbours) await(line string, taking bool, there End) keep.Problem {
	form := [...]map[bool]string{
		{true: "{line} comes from room {room} (host {host}), of which nothing is known yet", false: "{line} goes to room {room} (host {host}), of which nothing is known yet"},
		{true: "nothing is sent into {line} yet: room {room} (host {host}) has no session", false: "nobody takes {line} yet: room {room} (host {host}) has no session"},
		{true: "nothing is sent into {line} yet: room {room} (host {host}) is in {session}, which does not name it", false: "nobody takes {line} yet: room {room} (host {host}) is in {session}, which does not name it"},
		{true: "{line} comes from room {room} (host {host}), where {session} sends into it: {state}", false: "{line} goes to room {room} (host {host}), where {session} takes it: {state}"},
	}
	which := 3
	switch {
	case !there.Told:
		which = 0
	case there.Session == "":
		which = 1
	case !there.Uses:
		which = 2
	}
	p := keep.Problem{Code: "line-to", Severity: "advice", Message: words.Put(form[which][taking],
		"line", line, "room", there.Room, "host", there.Host, "session", words.Session(there.Session), "state", words.Phase(there.Phase))}
	if n.News(there.Room) == Silent {
		p.Since = there.At
		p.Message = words.Put("{told}. That host is not heard since then: it is off, or cut off", "told", p.Message)
	}
	return p
}
