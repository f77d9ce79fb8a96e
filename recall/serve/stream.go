package serve

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// events streams each new status: its number as id, its JSON as data.
func (h api) events(w http.ResponseWriter, r *http.Request) {
	ctx, leave := context.WithCancel(r.Context())
	defer leave()
	statuses, err := h.server.room.Events(ctx)
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	stream, err := web.Begin(w, r)
	if errors.Is(err, web.ErrFull) {
		refuse(w, http.StatusServiceUnavailable, "busy", err.Error())
	}
	if err != nil {
		return
	}
	defer stream.End()
	web.Follow(ctx, stream, statuses, nil, func(status *keep.Status) (<-chan struct{}, error) {
		text, err := json.Marshal(*status)
		if err != nil {
			return nil, err
		}
		return nil, stream.Event(strconv.FormatUint(status.Seq, 10), "status", string(text))
	})
}

// gate counts the streams of one request's machine, and ends them when who asked
// is let out.
type gate struct {
	server  *Server
	request *http.Request
}

func (g gate) Open() (func(), bool) { return g.server.limits.stream(machineOf(g.request)) }

func (g gate) Stays() bool { return guard{g.server}.guest(g.request).role >= Look }
