package gate

import (
	"context"
	"slices"
	"strings"

	"bayhand/recall/border"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// announce tells the other hosts how the rooms are, and what is plugged here against the
// table.
func (g *Gate) announce(ctx context.Context, s keep.Status) {
	if g.View().Cut != nil || g.versions.twice() {
		return
	}
	for i, room := range g.host.Rooms {
		a := border.Announcement{Room: room, Host: g.host.Name, Page: g.host.Page, Session: sessionIn(s, room), Phase: string(phaseIn(s, room)), At: g.config.Now()}
		if i == 0 {
			a.Against = g.against()
		}
		if g.told(a) || !g.own(room) {
			continue
		}
		_ = g.config.Border.Announce(ctx, a) // told again at the next change
	}
}

// told says whether the others know of a room what is to be announced, and were told not
// long ago.
func (g *Gate) told(a border.Announcement) bool {
	return slices.ContainsFunc(g.View().Announced, func(was border.Announcement) bool {
		age := a.At.Sub(was.At) // negative once the clock here was put back
		return a.Same(was) && age >= 0 && age < g.config.Retell
	})
}

// against are the lines that are plugged or planned here and that rooms of other hosts
// hold, as they were noted last.
func (g *Gate) against() []border.Place {
	g.mu.Lock()
	defer g.mu.Unlock()
	return slices.Clone(g.astray)
}

// note says what a person should know of the table, and of other rooms that are awaited.
func (g *Gate) note(need []string, studio string, awaited []keep.Problem) {
	view := g.View()
	var notes []keep.Problem
	var astray []border.Place
	held := 0
	for _, place := range need {
		h, is := view.Table.Holds[border.Place(place)]
		t, taken := g.takings.away(view.Table, place)
		switch {
		case is && !g.own(h.Room):
			astray = append(astray, border.Place(place))
			notes = append(notes, heldElsewhere(place, h))
		case is:
			held++
		case taken:
			notes = append(notes, takenAwayFrom(place, t))
		}
	}
	notes = append(notes, g.trespasses(view)...)
	notes = append(notes, g.versions.notes(studio)...)
	if view.Cut != nil {
		notes = append(notes, isCut(held, *view.Cut))
	}
	notes = append(notes, awaited...)
	for _, w := range view.Warnings {
		notes = append(notes, keep.Problem{Code: "house-servers", Severity: "warning", Since: view.Seen, Message: w})
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	g.notes, g.astray = notes, astray
}

// trespasses are the lines that rooms of this host hold and that are plugged in rooms of
// other hosts, as these told last.
func (g *Gate) trespasses(view border.View) []keep.Problem {
	var notes []keep.Problem
	for _, a := range view.Announced {
		for _, place := range a.Against {
			h, is := view.Table.Holds[place]
			if g.own(a.Room) || !is || !g.own(h.Room) {
				continue
			}
			notes = append(notes, keep.Problem{Code: "plugged-elsewhere", Severity: "error", Since: a.At, Message: words.Put(
				"{line} is held by room {room} for {session}, and it is plugged at host {host}, which keeps room {other}, as well. Agree who goes on with it, and have the other's cord unplugged",
				"line", string(place), "room", h.Room, "session", orNone(h.Session), "host", a.Host, "other", a.Room)})
		}
	}
	return notes
}

func heldElsewhere(place string, h border.Hold) keep.Problem {
	return keep.Problem{Code: "held-elsewhere", Severity: "error", Since: h.Since, Message: words.Put(
		"{line} is plugged here, and room {room} holds it for {session}. Agree who goes on with it, and unplug the other's cord",
		"line", place, "room", h.Room, "session", orNone(h.Session))}
}

func takenAwayFrom(place string, t border.Taking) keep.Problem {
	return keep.Problem{Code: "taken-away", Severity: "error", Since: t.At, Message: words.Put(
		"{line} was taken away from room {room} by {who}. Unplug the cord there, or recall the session again to claim it",
		"line", place, "room", t.From.Room, "who", t.By)}
}

func isCut(held int, cut border.Cut) keep.Problem {
	p := keep.Problem{Code: "house-cut", Severity: "warning", Since: cut.Since}
	time := cut.Since.Local().Format("15:04")
	if held == 0 {
		p.Message = words.Put("no line goes through the house, which is not reached since {time}; none is given until it is ({why})", "time", time, "why", cut.Why)
		return p
	}
	p.Message = words.Count(held,
		"1 line goes through the house, which is not reached since {time}; kept as it is ({why})",
		"{n} lines go through the house, which is not reached since {time}; kept as they are ({why})", "time", time, "why", cut.Why)
	return p
}

// orNone is the name of a session, which a line that was only plugged does not have.
func orNone(session string) string {
	if strings.TrimSpace(session) == "" {
		return "no session"
	}
	return session
}
