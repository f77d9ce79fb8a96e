package serve

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"bayhand/recall/keep"
)

// How often a silent stream says that it is still there.
const heartbeat = 15 * time.Second

// events streams each new status as a server-sent event (HTML Living Standard,
// 9.2): its number as id, its JSON as data.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	done, ok := s.limits.stream(machineOf(r))
	if !ok {
		refuse(w, http.StatusServiceUnavailable, "busy", "there are too many streams already; end one of them")
		return
	}
	defer done()
	statuses, err := s.room.Events(r.Context())
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	patient(w)
	w.Header().Set("Content-Type", "text/event-stream; charset=utf-8")
	w.WriteHeader(http.StatusOK)
	out := stream{w: w, control: http.NewResponseController(w)}
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for err = out.say(": bayhand\n\n"); err == nil; {
		select {
		case status, ok := <-statuses:
			if !ok {
				return
			}
			err = out.status(status)
		case <-beat.C:
			err = out.say(":\n\n")
		case <-r.Context().Done():
			return
		}
	}
}

type stream struct {
	w       http.ResponseWriter
	control *http.ResponseController
}

func (s stream) status(status keep.Status) error {
	text, err := json.Marshal(status)
	if err != nil {
		return err
	}
	return s.say(fmt.Sprintf("id: %d\nevent: status\ndata: %s\n\n", status.Seq, text))
}

// say writes and flushes. A reader that takes nothing for too long is let go; it
// never holds up anyone else.
func (s stream) say(text string) error {
	soon(s.w)
	if _, err := s.w.Write([]byte(text)); err != nil {
		return err
	}
	return s.control.Flush()
}
