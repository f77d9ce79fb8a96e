package page

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// listView is the view of all sessions.
type listView struct {
	frame
	Find     string
	Sessions []listed
	// All counts the sessions, and More those that would be shown as well.
	All, More int
	// Before is the session that the room was in before this one.
	Before     string
	BeforeName string
	// CanUndo is true once something was recalled.
	CanUndo bool
	// UndoIn are the rooms in which the last recall can be undone.
	UndoIn     []string
	CanCapture bool
	// AtRest is true where rest is what is intended.
	AtRest bool
}

// listed is one session of the list.
type listed struct {
	Name, Title string
	Notes       string
	Lines       string
	Problems    []string
	Now         bool
}

// sessionsHandler is the view of the sessions, and of one with what it would do.
type sessionsHandler struct{ page *page }

func (h sessionsHandler) showSessions(w http.ResponseWriter, r *http.Request) {
	status, err := h.page.Room.Status(r.Context())
	v := &listView{frame: h.page.frame(status, "sessions"), Find: strings.TrimSpace(r.URL.Query().Get("find"))}
	v.Heading, v.CanCapture, v.AtRest = "Sessions", h.page.Capture != nil, status.Session == keep.RestName
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
	}
	if err := h.list(r.Context(), v, status); err != nil {
		v.Trouble = words.Put("The sessions cannot be read: {reason}", "reason", err.Error())
	}
	v.CanUndo = status.Recall > 0
	for _, r := range status.Rooms {
		if r.Undo {
			v.UndoIn = append(v.UndoIn, r.Room)
		}
	}
	if v.BeforeName = h.before(status.Session); v.BeforeName != "" {
		v.Before = h.page.title(v.BeforeName)
	}
	write(w, r, http.StatusOK, "sessions.html", v)
}

// Matches counts those that have what is looked for.
func (v *listView) Matches() int { return len(v.Sessions) + v.More }

// mostListed are shown of the sessions; finding narrows them down.
const mostListed = 200

// list fills in the sessions that are shown. Where nothing is looked for, only
// those are read.
func (h sessionsHandler) list(ctx context.Context, v *listView, s keep.Status) error {
	names, err := h.names(ctx)
	if err != nil {
		return err
	}
	v.All = len(names)
	for _, called := range names {
		if v.Find == "" && len(v.Sessions) == mostListed {
			v.More = len(names) - mostListed
			return nil
		}
		l, err := h.page.Session(ctx, called)
		if err != nil {
			return err
		}
		switch one := h.listed(l, s); {
		case !one.matches(l, v.Find):
		case len(v.Sessions) == mostListed:
			v.More++
		default:
			v.Sessions = append(v.Sessions, one)
		}
	}
	return nil
}

// names are those of the sessions that can be recalled, in their order.
func (h sessionsHandler) names(ctx context.Context) ([]string, error) {
	if h.page.Names == nil {
		return nil, nil
	}
	return h.page.Names(ctx)
}

// askedFor says whether the room, or one of the rooms, is asked for a session.
func askedFor(s keep.Status, session string) bool {
	return s.Session == session || slices.ContainsFunc(s.Rooms, func(r keep.RoomStatus) bool { return r.Session == session })
}

func (h sessionsHandler) listed(l Listed, s keep.Status) listed {
	one := listed{Name: l.Name, Title: l.Name, Now: askedFor(s, l.Name)}
	for _, q := range l.Problems {
		one.Problems = append(one.Problems, words.Clean(q))
	}
	if l.Session == nil {
		return one
	}
	if l.Session.Title != "" {
		one.Title = words.Clean(l.Session.Title)
	}
	one.Notes = words.Clean(l.Session.Notes)
	one.Lines = fmt.Sprintf("%d connections", len(l.Session.Wants))
	return one
}

// matches finds every word of what is looked for in what the session says: its
// name, title, notes, lines and the gear in it.
func (l listed) matches(from Listed, find string) bool {
	text := strings.ToLower(l.Name + " " + l.Title + " " + l.Notes)
	if from.Session != nil {
		for _, want := range from.Session.Wants {
			text += " " + strings.ToLower(want.Label+" "+want.Source.String()+" "+want.Destination.String())
		}
	}
	for _, word := range strings.Fields(strings.ToLower(find)) {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}

// lookBack is how many recalls are looked through for another session.
const lookBack = 50

// before is what the room was asked for last before what it is asked for now.
func (h sessionsHandler) before(now string) string {
	if h.page.History == nil {
		return ""
	}
	events, err := h.page.History(keep.Query{Kinds: []keep.Kind{keep.Recalled}, Last: lookBack})
	if err != nil {
		return ""
	}
	for _, e := range slices.Backward(events) {
		if e.Session != "" && e.Session != now {
			return e.Session
		}
	}
	return ""
}

// sessionView is what one recall would do before it is done.
type sessionView struct {
	frame
	Name      string
	Now, Rest bool
	// Parts are the rooms of the studio, for rest and where it touches one.
	Parts    []string
	Problems []string
	Effort   string
	// Longer is the effort to allow a search that stopped before it found a plan; 0 where
	// none did.
	Longer      int64
	Steps       []move
	ByHand      int
	Crosspoints []string
	Loses       []string
	Missing     []plan.Missing
	Given       bool
	Planned     bool
	// Held is why it is not recalled but in the place of what another room holds.
	Held string
	// Working is true while it is being worked out.
	Working bool
	Sheet   *sheet
	Lines   []string
	// Levels is its gain plan, and OnPaper what can be printed of it.
	Levels  *gainPlan
	OnPaper []paperLink
	// Bays show what would be in them, and what must come out and go in.
	Bays []bay
}

// previewLimit is how long somebody who opens a session waits for its way; then the page
// comes without it, says so, and shows it once it is there.
const previewLimit = 300 * time.Millisecond

func (h sessionsHandler) showSession(w http.ResponseWriter, r *http.Request) {
	called := r.PathValue("name")
	status, err := h.page.Room.Status(r.Context())
	v := &sessionView{frame: h.page.frame(status, "sessions"), Name: called, Now: askedFor(status, called), Rest: called == keep.RestName}
	v.Heading, v.Still = h.page.title(called), true
	for _, r := range status.Rooms {
		v.Parts = append(v.Parts, r.Room)
	}
	if err != nil {
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
		write(w, r, http.StatusServiceUnavailable, "session.html", v)
		return
	}
	found, err := h.sessionNamed(r.Context(), called)
	if err != nil {
		v.Trouble = err.Error()
		write(w, r, http.StatusNotFound, "session.html", v)
		return
	}
	v.Problems = found.Problems
	if found.Session != nil {
		if found.Session.Title != "" {
			v.Heading = words.Clean(found.Session.Title)
		}
		v.Sheet, v.Lines = h.page.sheet(found.Session), h.lines(found.Session)
	}
	if v.Rest || found.Session != nil {
		h.preview(r.Context(), v, status, found.Session)
	}
	write(w, r, http.StatusOK, "session.html", v)
}

// sessionNamed is a session by its name; rest has no session of its own.
func (h sessionsHandler) sessionNamed(ctx context.Context, called string) (Listed, error) {
	if called == keep.RestName {
		return Listed{Name: called}, nil
	}
	all, err := h.names(ctx)
	if err != nil {
		return Listed{}, fmt.Errorf("the sessions cannot be read: %w", err)
	}
	if !slices.Contains(all, called) {
		return Listed{}, fmt.Errorf("there is no session %q; the list has those that there are", called)
	}
	return h.page.Session(ctx, called)
}

// lines are what a session asks for.
func (h sessionsHandler) lines(s *session.Session) []string {
	var all []string
	for _, want := range s.Wants {
		text := words.Put("{source} -> {destination}", "source", h.page.words.Point(want.Source), "destination", h.page.words.Point(want.Destination))
		if want.Label != "" {
			text = words.Clean(want.Label) + ": " + text
		}
		all = append(all, text)
	}
	return all
}

// preview works out the way from what is in now, and changes nothing.
func (h sessionsHandler) preview(ctx context.Context, v *sessionView, s keep.Status, wanted *session.Session) {
	if h.page.Plan == nil {
		return
	}
	ctx, cancel := context.WithTimeout(ctx, previewLimit)
	defer cancel()
	ask, err := keep.NewPreview(h.page.Studio, s, v.Name, keep.RecallOptions{}, func(other string) *session.Session {
		if other == v.Name {
			return wanted
		}
		held, _ := h.sessionNamed(ctx, other) // nil is one that cannot be read
		return held.Session
	})
	if err != nil {
		v.Held = notAsItIs + err.Error()
		return
	}
	made, err, ready := h.page.ways.to(ctx, v.Name, ask)
	switch {
	case !ready:
		v.Working, v.Still = true, false
		return
	case errors.Is(err, keep.ErrConflict):
		v.Held = notAsItIs + err.Error()
		return
	case err != nil:
		v.Trouble = words.Put("The preview could not be worked out: {reason}", "reason", err.Error())
		return
	}
	if wanted != nil {
		v.Levels = h.page.gainPlan(wanted, patch.Patch(made.Target))
	}
	if h.page.Paper != nil && !v.Rest {
		v.OnPaper = papersOf(v.Name)
	}
	said := h.page.with(s).words.Of(wanted)
	v.Planned, v.Given, v.Missing, v.Loses, v.Effort = true, made.Given, said.Missing(made.Missing), said.Loses(made, made.Steps), effort(made)
	v.Longer = longer(made)
	marks := h.foresee(v, s, made)
	for i, l := range said.Lines(made.Steps) {
		m := teller(h).move(made.Steps[i], l, marks)
		if m.ByPerson {
			v.ByHand++
		} else {
			v.Crosspoints = append(v.Crosspoints, m.By+": "+m.Switches())
		}
		v.Steps = append(v.Steps, m)
	}
}

// notAsItIs stands before the reason why a recall would be refused.
const notAsItIs = "It would not be recalled as it is: "

// longer is the effort to allow a search that stopped before it found a plan, or what is
// missing; 0 where it did not.
func longer(made *plan.Plan) int64 {
	if made.Given || !made.Stopped || len(made.Missing) > 0 {
		return 0
	}
	return plan.MoreEffort(0)
}

// effort says what a plan takes, or that nothing comes of it.
func effort(made *plan.Plan) string {
	if longer(made) > 0 {
		return "The search stopped before a plan was found; nothing would change."
	}
	if !made.Given && len(made.Steps) == 0 {
		return "Not possible as it stands; nothing would change."
	}
	return sentence(words.Effort(made)) + "."
}
