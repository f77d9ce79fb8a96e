// Package web is what the API and the page have in common as HTTP: the bounds on
// time, and streams of events.
//
// A server bounds reading and writing from the start of a request. Read and write
// deadlines are moved where that does not fit: a recall waits for devices after
// its request has been read, and a stream goes on for days.
package web

import (
	"net/http"
	"net/url"
	"strings"
	"time"
)

// What a server says to the page of who asks, in headers that it sets itself
// whatever came in them.
const (
	// TokenHeader carries the token of the page, there and back.
	TokenHeader = "X-Bayhand-Token"
	// WhoHeader carries the name of who asks, for the history; from a program as HeaderText
	// writes it.
	WhoHeader = "X-Bayhand-Who"
	// ViewHeader carries the number of the view that a browser has, and ShowHeader
	// the names of what it wants to see of the room beside.
	ViewHeader = "X-Bayhand-View"
	ShowHeader = "X-Bayhand-Show"
	// RoleHeader carries what who asks may do: look, tick or recall.
	RoleHeader = "X-Bayhand-Role"
)

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

// Here gives an address back if it is one of this server, as a path with what may
// follow it; anything else is false. A browser drops tabs and line ends from an
// address and takes a backslash for a slash (URL Standard, 4.4), so that "/<tab>/x"
// and "/\\x" are another host's.
func Here(address string) (string, bool) {
	odd := func(r rune) bool { return r <= ' ' || r == 0x7f || r == '\\' }
	if !strings.HasPrefix(address, "/") || strings.HasPrefix(address, "//") || strings.ContainsFunc(address, odd) {
		return "", false
	}
	u, err := url.Parse(address)
	if err != nil || u.IsAbs() || u.Host != "" || u.User != nil {
		return "", false
	}
	return address, true
}
