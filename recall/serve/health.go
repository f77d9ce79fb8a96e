package serve

import (
	"net/http"
	"os"
	"time"

	"bayhand/recall/keep"
)

// server is who serves; Proof shows that the server knows the entry's token.
type server struct {
	Studio string `json:"studio"`
	PID    int    `json:"pid"`
	Proof  string `json:"proof"`
}

func (s *Server) health(w http.ResponseWriter, _ *http.Request) {
	answer(w, http.StatusOK, server{Studio: s.options.Studio, PID: os.Getpid(), Proof: proof(s.token)})
}

// health is what is wrong with the room, for a person or for whoever watches
// machines: only what has been so for long enough, and follows from nothing else
// that is said.
type health struct {
	Well     bool        `json:"well"`
	Phase    keep.Phase  `json:"phase"`
	Problems []condition `json:"problems"`
}

type condition struct {
	keep.Problem
	DependsOn []string `json:"depends-on"`
	// Delay is in seconds.
	Delay float64 `json:"delay"`
}

func healthOf(s keep.Status, now time.Time) health {
	h := health{Well: true, Phase: s.Phase, Problems: []condition{}}
	for _, p := range keep.Worth(s.Problems, now) {
		declared := keep.ConditionOf(p.Code)
		on := declared.DependsOn
		if on == nil {
			on = []string{}
		}
		h.Problems = append(h.Problems, condition{p, on, declared.Delay.Seconds()})
		h.Well = h.Well && p.Severity != "error"
	}
	return h
}

func (s *Server) roomHealth(w http.ResponseWriter, r *http.Request) {
	status, err := s.room.Status(r.Context())
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	answer(w, http.StatusOK, healthOf(status, time.Now()))
}
