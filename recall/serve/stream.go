package serve

import (
	"encoding/json"
	"net/http"
	"strconv"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// events streams each new status: its number as id, its JSON as data.
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
	stream, err := web.Begin(w)
	defer stream.End()
	if err != nil {
		return
	}
	web.Follow(r.Context(), stream, statuses, nil, func(status *keep.Status) (<-chan struct{}, error) {
		text, err := json.Marshal(*status)
		if err != nil {
			return nil, err
		}
		return nil, stream.Event(strconv.FormatUint(status.Seq, 10), "status", string(text))
	})
}
