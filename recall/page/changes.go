package page

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"sync"

	"bayhand/recall/keep"
	"bayhand/recall/web"
	"bayhand/recall/words"
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

// current is the count, and a channel that is closed when it is another.
func (c *Changes) current() (uint64, <-chan struct{}) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.count, c.next
}

// seq is the number of a view: that of the room's status, and that of what changes
// beside it.
func (p *page) seq(room uint64) string {
	count, _ := p.Changes.current()
	return fmt.Sprintf("%d.%d", room, count)
}

// showChanges streams the number of the view each time that it is another. What
// changed is not said: the browser fetches the view that it shows.
func (p *page) showChanges(w http.ResponseWriter, r *http.Request) {
	ctx, leave := context.WithCancel(r.Context())
	defer leave()
	statuses, err := p.Room.Events(ctx)
	if err != nil {
		http.Error(w, words.Put("the room cannot be followed: {reason}", "reason", err.Error()), http.StatusServiceUnavailable)
		return
	}
	stream, err := web.Begin(w, r)
	if errors.Is(err, web.ErrFull) {
		http.Error(w, err.Error(), http.StatusServiceUnavailable)
	}
	if err != nil {
		return
	}
	defer stream.End()
	if stream.Beats() != nil {
		return
	}
	var room uint64
	_, changed := p.Changes.current()
	web.Follow(ctx, stream, statuses, changed, func(status *keep.Status) (<-chan struct{}, error) {
		if status != nil {
			room = status.Seq
		}
		count, changed := p.Changes.current()
		if room == 0 {
			return changed, nil // the status that comes first says it
		}
		return changed, stream.Event("", "look", fmt.Sprintf("%d.%d", room, count))
	})
}
