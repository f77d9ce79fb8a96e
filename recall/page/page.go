// Package page is the page at the bay: what the room is asked to do, which move
// comes next, and a picture of every bay with what is in it, what must come out
// and what must go in.
//
// A mark is a letter in a shape that stands at both ends of a cord. A jack is
// coming when a plug must go into it, and going when one must come out. A move is
// a step of the plan in words.
//
// The page is made anew from a copy of the room's status each time that it is
// asked for; a script follows the event stream and fetches it again. Without the
// script it shows everything as well, and its buttons are forms. The package
// decides nothing: a tick goes to the room, and what comes back is shown. It needs
// no network beyond the one it is served on.
package page

import (
	"context"
	"net/http"
	"time"

	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// Room is what the page asks of a room; a keep.Room is one.
type Room interface {
	Status(ctx context.Context) (keep.Status, error)
	Tick(ctx context.Context, tick keep.Tick) (keep.Status, error)
}

// Options are what a page is made of.
type Options struct {
	Room   Room
	Studio *studio.Studio
	// Title gives a session's title by its name; nil shows names.
	Title func(session string) string
	// Zone is for times of day; nil is the machine's.
	Zone *time.Location
}

// tokenHeader is set by the server on each request that it hands to the page,
// whatever the browser sent. It is what the API wants with everything that changes
// the room, and it stands in the page, which other sites cannot read.
const tokenHeader = "X-Bayhand-Token"

// page is the handler. Everything but the marks is immutable.
type page struct {
	Options
	words *words.Words
	marks *marks
}

// New is the handler of the page, for the root of a server: the page at /, its
// files under /page/, and /tick for browsers without a script. It stands behind a
// server that sets the token; see package serve. It is safe for concurrent use.
func New(o Options) http.Handler {
	if o.Zone == nil {
		o.Zone = time.Local
	}
	if o.Studio == nil {
		o.Studio = &studio.Studio{}
	}
	p := &page{Options: o, words: words.In(o.Studio), marks: newMarks()}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", p.show)
	mux.HandleFunc("POST /tick", p.tick)
	mux.HandleFunc("GET /page/{file}", file)
	return guarded(mux)
}

// guarded sets what every answer of the page carries: nothing may come from
// elsewhere, nothing in the page itself is run or styled unless it is a file of
// ours, and no other page may frame it.
func guarded(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; "+
			"img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		next.ServeHTTP(w, r)
	})
}

func (p *page) show(w http.ResponseWriter, r *http.Request) {
	status, err := p.Room.Status(r.Context())
	if err != nil {
		write(w, r, http.StatusServiceUnavailable, view{Trouble: "The room cannot be read: " + err.Error()})
		return
	}
	write(w, r, http.StatusOK, p.view(status))
}
