package page

import (
	"net/http"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// HouseRoom is one room of a house of several hosts, as its host told last.
type HouseRoom struct {
	Room, Host string
	// Page is where its own host shows it; empty where others do not reach that.
	Page string
	// Session and Phase are those of the room; At is when they were told, zero where
	// nothing was yet.
	Session string
	Phase   keep.Phase
	At      time.Time
}

// roomsView is the view of all rooms of the house.
type roomsView struct {
	frame
	Rows []roomRow
	// Cut says since when the house is not reached; empty while it is.
	Cut string
}

type roomRow struct{ Room, Host, Page, State, Told string }

// showRooms shows every room of the house with a way to its own host. What a room is in
// may be stale: it says how old it is.
func (p *page) showRooms(w http.ResponseWriter, r *http.Request) {
	if p.House == nil {
		p.missing(w, r)
		return
	}
	status, _ := p.Room.Status(r.Context()) // without it the frame says less
	v := &roomsView{frame: p.frame(status, "rooms")}
	v.Heading = "Rooms"
	rooms, cut := p.House()
	if !cut.IsZero() {
		v.Cut = cut.In(p.Zone).Format("15:04")
	}
	for _, one := range rooms {
		row := roomRow{Room: one.Room, Host: one.Host, Page: one.Page, State: "nothing announced yet"}
		if !one.At.IsZero() {
			row.State = words.Announced(one.Session, one.Phase)
			row.Told = one.At.In(p.Zone).Format("2006-01-02 15:04:05")
		}
		v.Rows = append(v.Rows, row)
	}
	write(w, r, http.StatusOK, "rooms.html", v)
}
