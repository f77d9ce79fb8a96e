package serve

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"

	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// What a request may hold at most: a list of step IDs is the longest.
const mostBody = 64 << 10

// errorAnswer is how an error goes over the wire.
type errorAnswer struct {
	Code    string         `json:"code"`
	Message string         `json:"message"`
	Also    []string       `json:"also,omitempty"`
	Missing []plan.Missing `json:"missing,omitempty"`
	// Session is the one that Missing is about; Shared is on the lines that rooms share.
	Session string `json:"session,omitempty"`
	// Stopped is true where the search ended before it could tell what is missing.
	Stopped bool         `json:"stopped,omitempty"`
	Shared  string       `json:"shared,omitempty"`
	Status  *keep.Status `json:"status,omitempty"`
}

// httpStatus is what HTTP says of each code.
var httpStatus = map[string]int{
	"not-given": http.StatusConflict, "conflict": http.StatusConflict,
	"unknown-session": http.StatusNotFound, "unknown-step": http.StatusNotFound, "unknown-point": http.StatusNotFound,
	"usage": http.StatusBadRequest, "no-studio": http.StatusServiceUnavailable, "stopped": http.StatusServiceUnavailable,
}

// read takes a request's body apart. Anything it does not know is an error: a
// misspelt option must not be a different wish.
func read[T any](w http.ResponseWriter, r *http.Request, into *T) error {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return errKind
	}
	body := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostBody))
	body.DisallowUnknownFields()
	if err := body.Decode(into); err != nil {
		return err
	}
	if _, err := body.Token(); !errors.Is(err, io.EOF) {
		return errors.New("there is more than one JSON value")
	}
	return nil
}

var errKind = errors.New("the body must be application/json")

func refuseBody(w http.ResponseWriter, err error) {
	var big *http.MaxBytesError
	switch {
	case errors.As(err, &big):
		refuse(w, http.StatusRequestEntityTooLarge, "usage", fmt.Sprintf("the request is over %d bytes", big.Limit))
	case errors.Is(err, errKind):
		refuse(w, http.StatusUnsupportedMediaType, "usage", err.Error())
	default:
		refuse(w, http.StatusBadRequest, "usage", phrase.Put("the request cannot be read: {reason}", "reason", err.Error()))
	}
}

func refuse(w http.ResponseWriter, status int, code, message string) {
	answer(w, status, errorAnswer{Code: code, Message: message})
}

// fail answers with an error of a room. The status goes with it where the room
// has one to show.
func fail(w http.ResponseWriter, err error, s keep.Status) {
	codes := keep.Codes(err)
	a := errorAnswer{Code: codes[0], Message: err.Error(), Also: codes[1:]}
	var not *keep.NotGivenError
	if errors.As(err, &not) {
		a.Missing, a.Session, a.Stopped, a.Shared = not.Missing, not.Session, not.Stopped, not.Shared
	}
	if s.Seq > 0 {
		a.Status = &s
	}
	status := httpStatus[a.Code]
	if status == 0 {
		status = http.StatusInternalServerError
	}
	answer(w, status, a)
}

func answer(w http.ResponseWriter, status int, value any) {
	text, err := json.Marshal(value)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	web.BoundWriting(w)
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	// A reader that is gone needs no answer.
	_, _ = w.Write(append(text, '\n'))
}
