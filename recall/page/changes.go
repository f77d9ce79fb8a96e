package page

import (
	"fmt"
	"net/http"
	"sync"
	"time"
)

// Changes counts what changes on a page beside the room, and wakes those who wait
// for it. It is safe for concurrent use.
type Changes struct {
	// mu guards the fields below.
	mu    sync.Mutex
	count uint64
	next  chan struct{}
}

// NewChanges begins to count.
func NewChanges() *Changes { return &Changes{next: make(chan struct{})} }

// Tell says that something changed.
func (c *Changes) Tell() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.count++
	close(c.next)
	c.next = make(chan struct{})
}

// now is the count, and a channel that is closed when it is another.
func (c *Changes) now() (uint64, <-chan struct{}) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.count, c.next
}

// seq is the number of a view: that of the room's status, and that of what changes
// beside it.
func (p *page) seq(room uint64) string {
	count, _ := p.Changes.now()
	return fmt.Sprintf("%d.%d", room, count)
}

// heartbeat is how often a silent stream says that it is still there.
const heartbeat = 15 * time.Second

// showChanges streams the number of the view each time that it is another, as
// server-sent events (HTML Living Standard, 9.2). What changed is not said: the
// browser fetches the view that it shows.
func (p *page) showChanges(w http.ResponseWriter, r *http.Request) {
	statuses, err := p.Room.Events(r.Context())
	if err != nil {
		http.Error(w, "the room cannot be followed: "+err.Error(), http.StatusServiceUnavailable)
		return
	}
	out := begin(w)
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	var room uint64
	for err == nil {
		count, changed := p.Changes.now()
		select {
		case status, ok := <-statuses:
			if !ok {
				return
			}
			room = status.Seq
			err = out.look(room, count)
		case <-changed:
			if room > 0 {
				err = out.look(room, count+1)
			}
		case <-beat.C:
			err = out.say(":\n\n")
		case <-r.Context().Done():
			return
		}
	}
}

// stream is one that a browser reads.
type stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
}

func begin(w http.ResponseWriter) stream {
	waiting(w)
	w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(http.StatusOK)
	return stream{w, http.NewResponseController(w)}
}

func (s stream) look(room, count uint64) error {
	return s.say(fmt.Sprintf("event: look\ndata: %d.%d\n\n", room, count))
}

// say writes and flushes. A reader that takes nothing for too long is let go.
func (s stream) say(text string) error {
	hurried(s.w)
	if _, err := s.w.Write([]byte(text)); err != nil {
		return err
	}
	return s.control.Flush()
}
