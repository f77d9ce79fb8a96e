// Package web is what the API and the page have in common as HTTP: the bounds on
// time, and streams of events.
//
// A server bounds reading and writing from the start of a request. Read and write
// deadlines are moved where that does not fit: a recall waits for devices after
// its request has been read, and a stream goes on for days.
package web

import (
	"net/http"
	"time"
)

// TokenHeader carries the token of the page, there and back.
const TokenHeader = "X-Bayhand-Token"

// WriteTime bounds the writing of one answer, or of one event of a stream.
const WriteTime = 20 * time.Second

// Unhurried lifts the bounds on reading and writing, for a handler that waits for
// the room. A connection that has none is only a test's recorder.
func Unhurried(w http.ResponseWriter) {
	c := http.NewResponseController(w)
	_ = c.SetReadDeadline(time.Time{})
	_ = c.SetWriteDeadline(time.Time{})
}

// BoundWriting sets the write deadline for what is written next.
func BoundWriting(w http.ResponseWriter) {
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(WriteTime))
}
