package page

import (
	"cmp"
	"net/http"
	"strconv"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/web"
	"bayhand/recall/words"
)

// frame is what stands around every view.
type frame struct {
	// Token is that of forms that tell of the bay; empty for who may only look.
	Token string
	// Role is what who looks may do: look, tick or recall.
	Role string
	// Trouble is why the page shows less than it should, or what was refused.
	Trouble string

	Seq            string
	Studio         string
	Session, Phase string
	// Stage is the phase's word, for the looks only.
	Stage string
	// Rooms say which session each room of the studio is in; none where all is one.
	Rooms []string
	// Papers is true where papers are made.
	Papers bool
	// Ears is true where the room can be listened to.
	Ears bool
	// Here is the view: bay, sessions, bench, listen, happened or files.
	Here string
	// Heading is the view's own, under the room's.
	Heading string
	// NextID is the step that comes next, empty for none.
	NextID string
	// Hands is how many moves are left for a person.
	Hands int
	// Worries is how many problems the room has.
	Worries int
	// Still is a view that is not fetched again by itself.
	Still bool
	// Practice is a view where nothing real moves, and Address what its own address
	// is, whatever led to it.
	Practice bool
	Address  string
	// AtHands is the view of one move in large letters.
	AtHands bool
	// Unread is a page that has no studio yet, and Checked one that shows the files.
	Unread, Checked bool
	// Housed is one of several hosts.
	Housed bool
	// Hand and From are what is being entered; Joins are the two jacks of the next
	// cord where they are on two bays.
	Hand, From, Joins string
	// View is the number of what is sent, where parts of it can be sent again.
	View string
	// drawn are the bays and matrices that are drawn of a large room.
	drawn []string
}

func (f *frame) base() *frame { return f }

// admit notes what who looks may do. The server says it, whatever came.
func (f *frame) admit(r *http.Request) {
	f.Role = r.Header.Get(web.RoleHeader)
	if f.Role != "look" {
		f.Token = r.Header.Get(web.TokenHeader)
	}
}

// RecallToken is the token of forms that ask something of the room; empty for who
// may not, like Token for who may only look.
func (f *frame) RecallToken() string {
	if f.Role == "look" || f.Role == "tick" {
		return ""
	}
	return f.Token
}

// PageTitle is what the browser calls the view.
func (f *frame) PageTitle() string {
	title := cmp.Or(f.Session, "The bay")
	if f.Heading != "" {
		title = f.Heading + " - " + title
	}
	if f.Studio != "" {
		title += " - " + f.Studio
	}
	return title
}

// Data are the data of the view that the scripts go by.
func (f *frame) Data() map[string]string {
	return map[string]string{
		"seq": f.Seq, "next": f.NextID, "hands": strconv.Itoa(f.Hands), "phase": f.Stage,
		"hand": f.Hand, "from": f.From, "joins": f.Joins, "view": f.View, "address": f.Address,
	}
}

func (p *page) frame(s keep.Status, here string) frame {
	f := frame{
		Seq:     p.seq(s.Seq),
		Studio:  words.Clean(p.Studio.Name),
		Session: p.title(s.Session),
		Phase:   p.words.Standing(s),
		Stage:   string(s.Phase),
		Here:    here,
		Papers:  p.Paper != nil,
		Ears:    p.Ears != nil,
		Worries: len(s.Problems),
		Checked: p.Check != nil, Housed: p.House != nil,
	}
	if s.Session == "" || s.Session == keep.RestName {
		f.Session = sentence(f.Session) // no name of a session
	}
	if s.Session == "" && s.Undone != "" {
		f.Session = words.Put("Before {session}", "session", p.title(s.Undone))
	}
	for _, r := range s.Rooms {
		f.Rooms = append(f.Rooms, words.InRoom(r, p.title(r.Session)))
	}
	if f.Studio == "" {
		f.Studio = words.Clean(s.Studio)
	}
	if s.Phase == "" {
		f.Session, f.Phase = "", ""
	}
	return f
}

// title is what people read for what is intended.
func (p *page) title(session string) string { return words.Called(session, p.Title) }

// clock is a time for people; empty for none.
func (p *page) clock(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.In(p.Zone).Format("2006-01-02 15:04")
}
