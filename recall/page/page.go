// Package page is the page at the bay: what the room is asked to do, which move
// comes next, and a picture of every bay with what is in it, what must come out
// and what must go in. Beside it stand the sessions, with what each would do, the
// bench, which is a practice copy of the room (package bench), what happened, and
// the files with what is wrong with them.
//
// A mark is a letter in a shape that stands at both ends of a cord. A jack is
// coming when a plug must go into it, going when one must come out, and believed
// when what is in it is only assumed. A move is a step of the plan in words. A
// point is touched when somebody asks what it hears and reaches; the way of its
// signal is lit. A setting of the recall sheet is made when somebody says so. Where
// no studio was read yet the page is unread, and shows the files alone.
//
// Everything is made on the server from copies, anew each time that it is asked
// for, and what is touched, skipped or half entered stands in the address, so
// each view is a link. A script follows a stream that says that something changed,
// and fetches the page again. Without the script it shows everything as well, and its buttons are
// forms. The package decides nothing: what a person says goes to the room, and
// what comes back is shown. It needs no network beyond the one it is served on.
package page

import (
	"context"
	"net/http"
	"time"

	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/page/bench"
	"bayhand/recall/web"
	"bayhand/recall/words"
)

// Options are what a page is made of. Room must be there; what is nil of the
// others is not offered.
type Options struct {
	Room   keep.Room
	Studio *studio.Studio
	// Title gives a session's title by its name; nil shows names.
	Title func(session string) string
	// Names are those of the sessions that can be recalled, in their order.
	Names func(ctx context.Context) ([]string, error)
	// Session reads one of them.
	Session func(ctx context.Context, name string) (Listed, error)
	// Plan makes the way to a session, and changes nothing.
	Plan func(ctx context.Context, ask plan.Request) (*plan.Plan, error)
	// Capture writes a patch as a new session; nil is the present one.
	Capture func(ctx context.Context, name string, of *patch.Patch) error
	// History finds events, the oldest first.
	History func(keep.Query) ([]keep.Event, error)
	// Check gives what is wrong with the files as they are now, file by file; nil
	// has no such view. It is called for each view, and should be quick.
	Check func() []Finding
	// Begin is set while there is no studio's file.
	Begin *Begin
	// Ears listen to the room with test sound; nil where it has no sound device.
	Ears *Ears
	// Draft is the studio's file for who draws it; nil has no such view.
	Draft *Draft
	// Paper makes what is printed.
	Paper Paper
	// Settings keep what was ticked of the recall sheet; nil keeps it as long as the
	// page stands.
	Settings Settings
	// Changes wakes the browsers for what changes beside the room; nil is one of the
	// page's own.
	Changes *Changes
	// House gives the rooms of a house of several hosts; nil where there is one.
	House func(context.Context) House
	// Zone is for times of day; nil is the machine's.
	Zone *time.Location
}

// Listed is one session. Session is nil where its file has errors; Problems says
// which, each with its place.
type Listed struct {
	Name     string
	Session  *session.Session
	Problems []string
}

// page is the handler. Everything but the marks and ticks is immutable.
type page struct {
	Options
	words   *words.Words
	heard   *heard.Room
	marks   *marks
	sides   map[string]side
	strips  *strips
	finder  *finder
	lessons []bench.Lesson
	drawn   drawn
	ticks   *ticks
	designs *designs
	ways    *ways
	sent    *sent
	// large is a room that is drawn in parts.
	large bool
	// read is false for a page without a studio.
	read bool
}

// New is the handler of the page, for the root of a server: the bays at /, the
// sessions at /sessions, the bench at /bench, what
// lands where at /design, what test sound finds at /listen, what happened at /happened, the rooms of
// a house of several hosts at /rooms, the files
// of the studio at /files, its files under /page/, and
// /do for what a person says. It stands behind a server that sets the token; see
// package serve. It is safe for concurrent use.
func New(o Options) http.Handler {
	return guarded(newPage(o).routes())
}

func newPage(o Options) *page {
	if o.Zone == nil {
		o.Zone = time.Local
	}
	if o.Changes == nil {
		o.Changes = NewChanges()
	}
	read := o.Studio != nil
	if !read {
		o.Studio = &studio.Studio{}
	}
	p := &page{Options: o, words: words.In(o.Studio), heard: heard.NewRoom(o.Studio), marks: newMarks(), ticks: &ticks{settings: o.Settings}, designs: &designs{}, read: read}
	p.sides, p.strips, p.finder = drawer{p}.stand(), newStrips(o.Studio), &finder{}
	p.drawn = drawer{p}.draw()
	p.sent, p.large = &sent{}, isLarge(o.Studio)
	p.ways = newWays(o.Plan, o.Changes.Tell)
	p.lessons = bench.Lessons(o.Studio, p.words)
	return p
}

func (p *page) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", p.ready(p.show))
	mux.HandleFunc("GET /find", p.ready(findHandler{p}.showFound))
	mux.HandleFunc("GET /hands", p.ready(handsHandler{p}.showHands))
	mux.HandleFunc("GET /sessions", p.ready(sessionsHandler{p}.showSessions))
	mux.HandleFunc("GET /sessions/{name}", p.ready(sessionsHandler{p}.showSession))
	mux.HandleFunc("GET /happened", p.ready(historyHandler{p}.showHappened))
	mux.HandleFunc("GET /bench", p.ready(benchHandler{p}.showBench))
	mux.HandleFunc("GET /design", p.ready(designHandler{p}.showDesign))
	mux.HandleFunc("GET /listen", p.ready(listenHandler{p}.showListen))
	mux.HandleFunc("POST /listen", listenHandler{p}.startListening)
	mux.HandleFunc("GET /files", filesHandler{p}.showFiles)
	mux.HandleFunc("GET /draw", filesHandler{p}.showDraw)
	mux.HandleFunc("POST /draw", filesHandler{p}.drew)
	mux.HandleFunc("GET /paper/{kind}", p.ready(p.showPaper))
	mux.HandleFunc("GET /paper/{kind}/{session}", p.ready(p.showPaper))
	mux.HandleFunc("GET /changes", p.showChanges)
	mux.HandleFunc("POST /do", formHandler{p}.do)
	mux.HandleFunc("GET /page/{file}", file)
	mux.HandleFunc("GET /sw.js", worker)
	mux.HandleFunc("GET /screens", screensHandler{p}.showScreens)
	mux.HandleFunc("GET /rooms", p.showRooms)
	mux.HandleFunc("/", p.missing)
	return mux
}

// guarded sets what every answer of the page carries: nothing may come from
// elsewhere, nothing in the page itself is run or styled unless it is a file of
// ours, and no other page may frame it.
func guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "+
			"img-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		// With no-referrer a browser would send its forms with Origin: null (Fetch
		// Standard, 3.2.5), and the server takes those for another site's.
		h.Set("Referrer-Policy", "same-origin")
		next.ServeHTTP(w, r)
	})
}

// missing is said of an address that leads nowhere.
func (p *page) missing(w http.ResponseWriter, r *http.Request) {
	status, _ := p.Room.Status(r.Context()) // without it the frame says less
	v := &happenedView{frame: p.frame(status, "")}
	v.Heading = "Nothing stands at this address"
	v.Still = true
	write(w, r, http.StatusNotFound, "missing.html", v)
}

func (p *page) show(w http.ResponseWriter, r *http.Request) {
	p.room(w, r, p.asked(r), http.StatusOK)
}

// room writes the page of the bays.
func (p *page) room(w http.ResponseWriter, r *http.Request, a asked, code int) {
	status, err := p.Room.Status(r.Context())
	if err != nil {
		v := view{frame: p.frame(keep.Status{}, "bay")}
		v.Trouble = words.Put("The room cannot be read: {reason}", "reason", err.Error())
		write(w, r, http.StatusServiceUnavailable, "room.html", &v)
		return
	}
	had := p.sent.of(r.Header.Get(web.ViewHeader), roomView)
	p.writePieces(w, r, code, roomView, p.view(r.Context(), status, a, p.drawing(r, had, a.Whole, a.At, a.From, a.To)), had)
}
