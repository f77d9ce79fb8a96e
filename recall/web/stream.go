package web

import (
	"context"
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
}

// Begin answers a request with a stream; End it after use.
func Begin(w http.ResponseWriter) (*Stream, error) {
	Unhurried(w)
	w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(http.StatusOK)
	s := &Stream{w: w, control: http.NewResponseController(w), beat: time.NewTicker(Heartbeat)}
	return s, s.write(": bayhand\n\n")
}

// End stops the heartbeat.
func (s *Stream) End() { s.beat.Stop() }

// Event sends one event; an empty id sends none. Data has no line breaks.
func (s *Stream) Event(id, name, data string) error {
	var text strings.Builder
	if id != "" {
		fmt.Fprintf(&text, "id: %s\n", id)
	}
	fmt.Fprintf(&text, "event: %s\ndata: %s\n\n", name, data)
	return s.write(text.String())
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
			err = s.write(":\n\n")
		case <-ctx.Done():
			return
		}
	}
}

// write sends and flushes. A reader that takes nothing for too long is let go; it
// never holds up anyone else.
func (s *Stream) write(text string) error {
	BoundWriting(s.w)
	if _, err := s.w.Write([]byte(text)); err != nil {
		return err
	}
	return s.control.Flush()
}
