package page

import (
	"context"
	"net/http"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// House is the house of several hosts, as far as one of them knows.
type House struct {
	Rooms []HouseRoom
	Lines []HouseLine
	// Cut is since when the others are not reached; zero while they are.
	Cut time.Time
}

// HouseRoom is one room of a house of several hosts, as its host told last.
type HouseRoom struct {
	Room, Host string
	// Here is true for a room of the host that shows it; Page is where its own host shows
	// another, empty where others do not reach that.
	Here bool
	Page string
	// Session and Phase are those of the room; At is when they were told, zero where
	// nothing was yet.
	Session string
	Phase   keep.Phase
	At      time.Time
	News    News
	// Notes are what is wrong with its host.
	Notes []string
}

// News is how new the last word of a room is.
type News int

// The kinds of news: as old as it says, of the last minutes, or older than it should be.
const (
	_ News = iota
	Dated
	Fresh
	Silent
)

// HouseLine is a line by which one room lends another a signal.
type HouseLine struct {
	Name     string
	From, To HouseEnd
}

// HouseEnd is what a room has of a line.
type HouseEnd = words.LineEnd

// roomsView is the view of all rooms of the house.
type roomsView struct {
	frame
	Rows  []roomRow
	Lines []lineRow
	// Cut says since when the house is not reached; empty while it is. Silent is true
	// where a host is not heard.
	Cut    string
	Silent bool
}

type roomRow struct {
	Room, Host, Page, State, Told string
	Notes                         []string
}

// lineRow is a line with who waits for whom, and what each room has of it.
type lineRow struct{ Name, From, To, Waits, Sends, Takes string }

// showRooms shows every room of the house with a way to its own host, and the lines from
// room to room. What a room is in may be stale: it says how old it is.
func (p *page) showRooms(w http.ResponseWriter, r *http.Request) {
	if p.House == nil {
		p.missing(w, r)
		return
	}
	status, _ := p.Room.Status(r.Context()) // without it the frame says less
	v := &roomsView{frame: p.frame(status, "rooms")}
	v.Heading = "Rooms"
	roomLister{p}.fill(r.Context(), v)
	write(w, r, http.StatusOK, "rooms.html", v)
}

// roomLister puts the rooms of a house and the lines between them into words.
type roomLister struct{ page *page }

func (h roomLister) fill(ctx context.Context, v *roomsView) {
	house := h.page.House(ctx)
	if !house.Cut.IsZero() {
		v.Cut = h.page.clock(house.Cut)
	}
	for _, one := range house.Rooms {
		v.Rows = append(v.Rows, h.row(one))
		v.Silent = v.Silent || one.News == Silent
	}
	for _, l := range house.Lines {
		v.Lines = append(v.Lines, lineRow{l.Name, l.From.Room, l.To.Room, words.LineWaits(l.From, l.To),
			h.end(l.From, "{session} sends into it: {state}"), h.end(l.To, "{session} takes it: {state}")})
	}
}

func (h roomLister) row(one HouseRoom) roomRow {
	row := roomRow{Room: one.Room, Host: one.Host, Page: one.Page, State: "nothing announced yet", Notes: one.Notes}
	if one.Here {
		row.Page = "/"
	}
	if one.At.IsZero() {
		return row
	}
	row.State = words.Announced(h.titled(one.Session), one.Phase)
	told := one.At.In(h.page.Zone).Format("2006-01-02 15:04:05")
	switch {
	case one.Here:
		row.Told = "this host"
	case one.News == Fresh:
		row.Told = "heard in the last 2 minutes"
	case one.News == Silent:
		row.Told = words.Put("not heard since {time}: off, or cut off", "time", told)
	default:
		row.Told = words.Put("told {time}", "time", told)
	}
	return row
}

// end is what a room has of a line.
func (h roomLister) end(e HouseEnd, form string) string {
	switch {
	case e.Uses:
		return words.Put(form, "session", h.page.title(e.Session), "state", words.Phase(e.Phase))
	case e.Session == "":
		return "no session"
	}
	return words.Put("{session} does not name it", "session", h.page.title(e.Session))
}

// titled is the title of a session; empty for none.
func (h roomLister) titled(session string) string {
	if session == "" {
		return ""
	}
	return h.page.title(session)
}
