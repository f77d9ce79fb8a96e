package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"time"
)

// Heartbeat is how often a silent stream says that it is still there.
const Heartbeat = 15 * time.Second

// Stream is a stream of server-sent events (HTML Living Standard, 9.2) that one
// browser or program reads.
type Stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
	beat    *time.Ticker
	stays   func() bool
	done    func()
	// pulse is what a silent stream sends: a comment, or an event.
	pulse string
}

// errLetOut means that who reads a stream may not any more.
var errLetOut = errors.New("who asked is not let in any more")

// Begin answers a request with a stream; End it after use. ErrFull means that
// there are too many already, and nothing was answered.
func Begin(w http.ResponseWriter, r *http.Request) (*Stream, error) {
	stays, done, err := openGate(r.Context())
	if err != nil {
		return nil, err
	}
	Unhurried(w)
	w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(http.StatusOK)
	s := &Stream{w: w, control: http.NewResponseController(w), beat: time.NewTicker(Heartbeat), stays: stays, done: done, pulse: ":\n\n"}
	if err := s.write(": bayhand\n\n"); err != nil {
		s.End()
		return nil, err
	}
	return s, nil
}

// End stops the heartbeat, and makes room for another stream.
func (s *Stream) End() {
	s.beat.Stop()
	s.done()
}

// Event sends one event; an empty id sends none. Data has no line breaks.
func (s *Stream) Event(id, name, data string) error {
	var text strings.Builder
	if id != "" {
		fmt.Fprintf(&text, "id: %s\n", id)
	}
	fmt.Fprintf(&text, "event: %s\ndata: %s\n\n", name, data)
	return s.write(text.String())
}

// Beats has a silent stream say so by an event named beat, now and at each heartbeat, with
// the milliseconds between two: a script in a browser hears events, and no comments.
func (s *Stream) Beats() error {
	s.pulse = fmt.Sprintf("event: beat\ndata: %d\n\n", Heartbeat.Milliseconds())
	return s.write(s.pulse)
}

// Follow sends what next gives for each value of a channel, until the channel or
// the context ends or the reader is gone, and is heard of in between. Other is one
// more thing to wait for: next is called without a value when it is closed, and
// gives the channel to wait for then; nil for none.
func Follow[T any](ctx context.Context, s *Stream, values <-chan T, other <-chan struct{}, next func(*T) (<-chan struct{}, error)) {
	var err error
	for err == nil {
		select {
		case value, ok := <-values:
			if !ok {
				return
			}
			other, err = next(&value)
		case <-other:
			other, err = next(nil)
		case <-s.beat.C:
			err = s.write(s.pulse)
		case <-ctx.Done():
			return
		}
	}
}

// write sends and flushes. A reader that takes nothing for too long is let go; it
// never holds up anyone else. One who was let out is told nothing more.
func (s *Stream) write(text string) error {
	if !s.stays() {
		return errLetOut
	}
	BoundWriting(s.w)
	if _, err := s.w.Write([]byte(text)); err != nil {
		return err
	}
	return s.control.Flush()
}
