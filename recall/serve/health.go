package serve

import (
	"encoding/hex"
	"net/http"
	"time"

	"bayhand/recall/keep"
)

// proven shows that the server knows the entry's token. Without a nonce there is
// nothing to show, and nobody who asks learns anything else.
type proven struct {
	Proof string `json:"proof,omitempty"`
}

// A nonce has 16 to 64 bytes, in hexadecimal digits.
const leastNonce, mostNonce = 32, 128

func (h api) health(w http.ResponseWriter, r *http.Request) {
	nonce := r.URL.Query().Get("nonce")
	if nonce == "" {
		answer(w, http.StatusOK, proven{})
		return
	}
	if _, err := hex.DecodeString(nonce); err != nil || len(nonce) < leastNonce || len(nonce) > mostNonce {
		refuse(w, http.StatusBadRequest, "usage", "a nonce has 32 to 128 hexadecimal digits")
		return
	}
	answer(w, http.StatusOK, proven{proof(h.server.token, h.server.address, nonce)})
}

// proof shows that one knows the token, at an address and for a nonce that nobody
// has used: it is of no use at another address or for another question.
func proof(token, address, nonce string) string {
	return keyed(token, "bayhand proof\n"+address+"\n"+nonce)
}

// health is what is wrong with the room, for a person or for whoever watches
// machines: only what has been so for long enough, and follows from nothing else
// that is said.
type health struct {
	// Version is that of the program that answers.
	Version  string      `json:"version,omitempty"`
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

func healthOf(s keep.Status, version string, now time.Time) health {
	h := health{Version: version, Well: true, Phase: s.Phase, Problems: []condition{}}
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

func (h api) roomHealth(w http.ResponseWriter, r *http.Request) {
	status, err := h.server.room.Status(r.Context())
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	answer(w, http.StatusOK, healthOf(status, h.server.options.Version, time.Now()))
}
