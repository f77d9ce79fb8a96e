// Package paper puts the moves that remain at a bay on paper: as text for a
// terminal, and as a page to print and tick by hand.
//
// A sheet is made from a plan or from the status of a room, and then written: it
// holds words only, so that both writers say the same. A line is one step; a
// person's line has a box to tick, a matrix's line says what happens by itself.
// A warning is a letter that the fonts at hand cannot print.
//
// The package sees copies only. It changes nothing in a room, reads no clock (the
// date of a sheet is passed in) and opens no file: the same sheet always gives
// the same bytes.
package paper

import (
	"strings"
	"time"

	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// Sheet is everything that is printed.
type Sheet struct {
	// Studio is the room's name, Session what people call the session.
	Studio, Session string
	// Date is printed as a day; the zero Time leaves it out.
	Date time.Time
	// Origin names the files that it was made from, with checksums; empty for none.
	Origin string
	// Caption is a note beneath the title, such as that the studio is made up.
	Caption string
	// Notes are the session's, Settings those of its gear, a piece of gear each. Where
	// rooms hold several sessions, each line begins with the rooms that it is about.
	Notes, Settings []string
	// Several is true where rooms hold more than one session.
	Several bool
	// Lines are the steps left, in order.
	Lines []words.Line
	// Loses are what is no longer heard where the session names nothing, a phrase
	// each.
	Loses []string
	// Missing is what the session asks for and cannot have.
	Missing []Missing
	// Problems are what a person should know or mend before going on.
	Problems []string
	// Advice is what is worth knowing, and in the way of nothing.
	Advice []string
}

// Missing is a want that cannot be had, and what stands in its way.
type Missing struct {
	Want, Because string
}

// Caption says what a sheet is beyond its studio and steps.
type Caption struct {
	// Session is what is set up, whose title, notes, settings and names of lines are
	// shown; nil for none, and then the name that the plan has is the title.
	Session *session.Session
	// Held reads a session that a room of the studio is in, by its name; nil for none.
	Held func(called string) *session.Session
	// Guests are the gear beside the studio's, for the labels of what is pulled of it.
	Guests []keep.Guest
	Date   time.Time
	Note   string
	// Origin names the files that the sheet is made from, with checksums.
	Origin string
}

// FromPlan is the sheet of a whole plan, nothing of it done. The studio gives
// the labels and may be nil.
func FromPlan(s *studio.Studio, p *plan.Plan, c Caption) Sheet {
	w := words.In(s).With(keep.Gear(c.Guests)).Of(c.Session)
	sheet := caption(s, w, p.Session, c)
	sheet.Lines = w.Lines(p.Steps)
	sheet.outcome(w, p, p.Steps)
	return sheet
}

// FromStatus is the sheet of what is left to do in a room.
func FromStatus(s *studio.Studio, status keep.Status, c Caption) Sheet {
	w := words.In(s).With(keep.Gear(status.Guests))
	held := heldBy(status.Rooms, c)
	for _, h := range held {
		w = w.Of(h.session)
	}
	if len(held) > 0 {
		c.Session = nil
	}
	w = w.Of(c.Session)
	sheet := caption(s, w, status.Session, c)
	if sheet.Studio == "" {
		sheet.Studio = words.Clean(status.Studio)
	}
	if status.Session == "" {
		sheet.Session = words.Intended(status)
	}
	if len(status.Rooms) > 0 {
		sheet.Session = inRooms(status.Rooms)
	}
	sheet.Several = len(held) > 1
	for _, h := range held {
		sheet.about(w, h.session, words.List(h.rooms)+": ")
	}
	sheet.Lines = w.Numbered(status.Known).Lines(status.Left)
	if status.Plan != nil {
		sheet.outcome(w, status.Plan, status.Left)
	}
	sheet.problems(w, status.Problems)
	return sheet
}

// problems takes in what a person should know, in the words of the gear. What is not
// possible has a list of its own.
func (s *Sheet) problems(w *words.Words, all []keep.Problem) {
	for _, p := range all {
		switch {
		case p.Code == "not-given" && len(s.Missing) > 0:
		case p.Severity == "advice":
			s.Advice = append(s.Advice, w.Said(p.Whole()))
		default:
			s.Problems = append(s.Problems, w.Said(p.Whole()))
		}
	}
}

// inRooms says what each room of a studio holds: its steps are for all of them.
func inRooms(rooms []keep.RoomStatus) string {
	var held []string
	for _, r := range rooms {
		held = append(held, words.Clean(r.Room)+": "+words.Session(r.Session))
	}
	return strings.Join(held, ", ")
}

// holding is a session with the rooms that are in it.
type holding struct {
	session *session.Session
	rooms   []string
}

// heldBy are the sessions that rooms are in, in the order of the rooms.
func heldBy(rooms []keep.RoomStatus, c Caption) []holding {
	if c.Held == nil {
		return nil
	}
	at := map[string]int{}
	var all []holding
	for _, r := range rooms {
		if i, ok := at[r.Session]; ok {
			all[i].rooms = append(all[i].rooms, words.Clean(r.Room))
			continue
		}
		if s := c.Held(r.Session); s != nil {
			at[r.Session] = len(all)
			all = append(all, holding{s, []string{words.Clean(r.Room)}})
		}
	}
	return all
}

func caption(s *studio.Studio, w *words.Words, session string, c Caption) Sheet {
	sheet := Sheet{Session: words.Session(session), Date: c.Date, Caption: words.Clean(c.Note), Origin: words.Clean(c.Origin)}
	if c.Session != nil {
		if c.Session.Title != "" {
			sheet.Session = words.Clean(c.Session.Title)
		}
		sheet.about(w, c.Session, "")
	}
	if s != nil {
		sheet.Studio = words.Clean(s.Name)
	}
	return sheet
}

// about is what a session says of itself, each line after the rooms that it is about.
func (s *Sheet) about(w *words.Words, of *session.Session, rooms string) {
	for note := range strings.Lines(of.Notes) {
		if note = words.Clean(strings.TrimSpace(note)); note != "" {
			s.Notes = append(s.Notes, rooms+note)
		}
	}
	for _, g := range of.Settings {
		var knobs []string
		for _, k := range g.Values {
			knobs = append(knobs, words.Clean(k.Name)+" "+words.Clean(k.Value))
		}
		s.Settings = append(s.Settings, rooms+w.Owner(g.Gear)+": "+strings.Join(knobs, ", "))
	}
}

func (s *Sheet) outcome(w *words.Words, p *plan.Plan, left []plan.Step) {
	s.Loses = w.Loses(p, left)
	for _, m := range w.Missing(p.Missing) {
		s.Missing = append(s.Missing, Missing{Want: m.Want, Because: m.Because})
	}
}

// aboutTitle heads the notes.
func (s Sheet) aboutTitle() string {
	if s.Several {
		return "About these sessions"
	}
	return "About this session"
}

// ByHand counts the lines that a person does.
func (s Sheet) ByHand() int {
	count := 0
	for _, l := range s.Lines {
		if l.By == "" {
			count++
		}
	}
	return count
}
