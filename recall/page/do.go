package page

import (
	"context"
	"crypto/subtle"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/recall/keep"
)

// longest is the most that a form may hold, in bytes.
const longest = 32 << 10

// answerTime bounds the writing of an answer that had to wait for the room.
const answerTime = 20 * time.Second

// do takes a form of the page: what a person says, or asks of the room. The
// script of the page asks for plain text and gets the reason of a refusal; a
// browser without it gets the page again.
func (p *page) do(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, longest)
	if err := r.ParseForm(); err != nil {
		p.refuse(w, r, http.StatusBadRequest, "The form could not be read: "+err.Error())
		return
	}
	if !trusted(r) {
		p.refuse(w, r, http.StatusForbidden, "This form is not from the page as it stands now. Look again, and say it again.")
		return
	}
	said, err := p.said(r.PostForm)
	if err != nil {
		p.refuse(w, r, http.StatusBadRequest, err.Error())
		return
	}
	waiting(w)
	err = said(r.Context())
	hurried(w)
	if err != nil {
		p.refuse(w, r, http.StatusConflict, "Not taken: "+err.Error())
		return
	}
	if byScript(r) {
		w.WriteHeader(http.StatusNoContent)
		return
	}
	http.Redirect(w, r, onward(r.PostForm.Get("then")), http.StatusSeeOther)
}

// waiting lifts the server's bounds on time: a recall waits for devices. A
// connection that has none is only a test's recorder.
func waiting(w http.ResponseWriter) {
	c := http.NewResponseController(w)
	_ = c.SetReadDeadline(time.Time{})
	_ = c.SetWriteDeadline(time.Time{})
}

func hurried(w http.ResponseWriter) {
	_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(answerTime))
}

func byScript(r *http.Request) bool { return r.Header.Get("Accept") == "text/plain" }

// onward is where a browser goes after a form, on this page only.
func onward(then string) string {
	if strings.HasPrefix(then, "/") && !strings.HasPrefix(then, "//") && !strings.ContainsAny(then, "\\\r\n") {
		return then
	}
	return "/#next"
}

// said is what a form asks of the room, ready to be done.
func (p *page) said(form url.Values) (func(context.Context) error, error) {
	switch do := form.Get("do"); do {
	case "tick", "not":
		return p.tick(form)
	case "recall", "strip":
		return p.recall(form)
	case "plug", "move", "pull", "faulty", "sound":
		return p.byHand(do, form)
	case "undo":
		return func(ctx context.Context) error {
			_, err := p.Room.Undo(ctx)
			return err
		}, nil
	case "begin-demo", "begin-empty":
		return func(context.Context) error { return p.lay(strings.TrimPrefix(form.Get("do"), "begin-")) }, nil
	case "set", "unset":
		return p.setting(form)
	case "capture":
		return p.capture(form)
	case "keep-bench":
		return p.keepBench(form)
	default:
		return nil, fmt.Errorf("the form says %q, which is nothing that can be done; look again", do)
	}
}

func (p *page) tick(form url.Values) (func(context.Context) error, error) {
	id := form.Get("id")
	if id == "" {
		return nil, errors.New("the form names no step; look again, and tick again")
	}
	return func(ctx context.Context) error {
		_, err := p.Room.Tick(ctx, keep.Tick{IDs: []string{id}, Not: form.Get("do") == "not"})
		return err
	}, nil
}

func (p *page) recall(form url.Values) (func(context.Context) error, error) {
	if room := form.Get("room"); form.Get("do") == "strip" && room != "" {
		return func(ctx context.Context) error {
			_, err := p.Room.Recall(ctx, keep.RestName, keep.RecallOptions{Room: room})
			return err
		}, nil
	}
	if form.Get("do") == "strip" {
		return func(ctx context.Context) error {
			_, err := p.Room.Strip(ctx, true)
			return err
		}, nil
	}
	session := form.Get("session")
	if session == "" {
		return nil, errors.New("the form names no session; look again")
	}
	options := keep.RecallOptions{Partly: form.Has("partly"), LeaveCords: form.Has("leave"), Instead: form.Has("instead")}
	return func(ctx context.Context) error {
		// A command may name a file by its path; what comes over the network may not.
		if _, err := p.found(ctx, session); err != nil {
			return err
		}
		_, err := p.Room.Recall(ctx, session, options)
		return err
	}, nil
}

// byHand is what somebody did at a jack that nobody planned.
func (p *page) byHand(do string, form url.Values) (func(context.Context) error, error) {
	a, err := name.Parse(form.Get("a"))
	if err != nil {
		return nil, fmt.Errorf("the form names no jack: %w", err)
	}
	var b name.Point
	if text := form.Get("b"); text != "" {
		if b, err = name.Parse(text); err != nil {
			return nil, fmt.Errorf("the second jack is none: %w", err)
		}
	}
	return func(ctx context.Context) error {
		var err error
		switch do {
		case "plug":
			_, err = p.Room.Plug(ctx, a, b)
		case "move":
			_, err = p.Room.Move(ctx, a, b)
		case "pull":
			_, err = p.Room.Pull(ctx, a)
		case "faulty", "sound":
			_, err = p.Room.Tag(ctx, a, do == "faulty")
		}
		return err
	}, nil
}

func (p *page) capture(form url.Values) (func(context.Context) error, error) {
	called, err := p.sessionName(form)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context) error { return p.Capture(ctx, called, nil) }, nil
}

// sessionName is what a new session is to be called.
func (p *page) sessionName(form url.Values) (string, error) {
	called := strings.TrimSpace(form.Get("name"))
	if p.Capture == nil {
		return "", errors.New("nothing can be captured here")
	}
	if err := name.CheckOwner(called); err != nil {
		return "", fmt.Errorf("a session cannot be called that: %w", err)
	}
	return called, nil
}

// trusted says whether the form carries the token of the page that it was on. No
// token at all is no permission.
func trusted(r *http.Request) bool {
	token := r.Header.Get(tokenHeader)
	return token != "" && subtle.ConstantTimeCompare([]byte(r.PostForm.Get("token")), []byte(token)) == 1
}

// refuse says what went wrong: to the script in a line, else above the room as it
// is.
func (p *page) refuse(w http.ResponseWriter, r *http.Request, code int, trouble string) {
	if byScript(r) {
		w.Header().Set("Content-Type", "text/plain; charset=utf-8")
		w.WriteHeader(code)
		// A browser that has gone needs no answer.
		_, _ = w.Write([]byte(trouble))
		return
	}
	if p.unread() {
		p.files(w, r, trouble, code)
		return
	}
	p.room(w, r, asked{trouble: trouble}, code)
}
