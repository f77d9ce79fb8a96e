package page

import (
	"context"
	"crypto/subtle"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/recall/keep"
	"bayhand/recall/web"
	"bayhand/recall/words"
)

// longest is the most that a form may hold, in bytes.
const longest = 32 << 10

// formHandler takes forms: what a person says, or asks of the room.
type formHandler struct{ page *page }

// do takes a form of the page: what a person says, or asks of the room. The
// script of the page asks for plain text and gets the reason of a refusal, or
// what there is to know of what was taken; a browser without it gets the page
// again.
func (h formHandler) do(w http.ResponseWriter, r *http.Request) {
	r.Body = http.MaxBytesReader(w, r.Body, longest)
	if err := r.ParseForm(); err != nil {
		h.refuse(w, r, http.StatusBadRequest, words.Put("The form could not be read: {reason}", "reason", err.Error()))
		return
	}
	if !trusted(r) {
		h.refuse(w, r, http.StatusForbidden, "This page is out of date. Reload and try again.")
		return
	}
	asked, err := h.asks(r.PostForm, r.Header.Get(web.WhoHeader))
	if err != nil {
		h.refuse(w, r, http.StatusBadRequest, err.Error())
		return
	}
	web.Unhurried(w)
	told, err := asked(r.Context())
	web.BoundWriting(w)
	if err != nil {
		h.refuse(w, r, http.StatusConflict, words.Put("Nothing was changed: {reason}", "reason", h.page.words.Said(err.Error())))
		return
	}
	h.taken(w, r, told)
}

// taken answers a form that was taken, with what there is to know of it.
func (h formHandler) taken(w http.ResponseWriter, r *http.Request, told string) {
	switch {
	case !byScript(r):
		http.Redirect(w, r, onward(r.PostForm.Get("then")), http.StatusSeeOther)
	case told == "":
		w.WriteHeader(http.StatusNoContent)
	default:
		plainText(w, http.StatusOK, told)
	}
}

func plainText(w http.ResponseWriter, code int, text string) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(code)
	// A browser that has gone needs no answer.
	_, _ = w.Write([]byte(text))
}

func byScript(r *http.Request) bool { return r.Header.Get("Accept") == "text/plain" }

// onward is where a browser goes after a form, on this page only.
func onward(then string) string {
	if here, ok := web.Here(then); ok {
		return here
	}
	return "/#next"
}

// asking does what a form asks for, and says what there is to know of it; empty for
// nothing.
type asking func(ctx context.Context) (told string, err error)

// asks is what a form asks for, ready to be done: an act of the room, or something
// of the page's own.
func (h formHandler) asks(form url.Values, who string) (asking, error) {
	do := form.Get("do")
	if _, is := keep.ActKindOf(keep.Deed(do)); is {
		return h.ofRoom(form, who)
	}
	own := map[string]func(url.Values) (func(context.Context) error, error){
		"begin-demo": h.beginning, "begin-empty": h.beginning, "set": h.page.setting, "unset": h.page.setting, "capture": h.capture, "keep-bench": benchHandler(h).keepBench,
		"silence": listenHandler(h).silence, "listen-anew": listenHandler(h).silence,
		"let-in": screensHandler(h).doorsFrom, "let-out": screensHandler(h).doorsFrom,
	}[do]
	if own == nil {
		return nil, fmt.Errorf("the form asks for %q, which is not valid; reload the page", do)
	}
	said, err := own(form)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context) (string, error) { return "", said(ctx) }, nil
}

// ofRoom is what a form asks of the room, in the name of who was let in.
func (h formHandler) ofRoom(form url.Values, who string) (asking, error) {
	act, err := actOf(form)
	if err != nil {
		return nil, err
	}
	act.By = who
	if err := act.Check(); err != nil {
		return nil, fmt.Errorf("not saved: %w; reload the page and try again", err)
	}
	return func(ctx context.Context) (string, error) {
		if act.Session != "" && act.Session != keep.RestName {
			// A command may name a file by its path; what comes over the network may not.
			if _, err := sessionsHandler(h).sessionNamed(ctx, act.Session); err != nil {
				return "", err
			}
		}
		// A browser that is put away meanwhile gives nothing up: the room ends the act
		// when it ends itself.
		got, err := h.page.Room.Act(context.WithoutCancel(ctx), act)
		return h.page.with(got.Status).words.Taken(got), err
	}, nil
}

// actOf is the act that the fields of a form are.
func actOf(form url.Values) (act keep.Act, err error) {
	act = keep.Act{
		Do: keep.Deed(form.Get("do")), Session: form.Get("session"), Matrix: form.Get("matrix"),
		Options: keep.RecallOptions{
			Partly: form.Has("partly"), LeaveCords: form.Has("leave"), Instead: form.Has("instead"), Room: form.Get("room"),
			Inside: form.Has("inside"), Prefer: form.Get("prefer"),
		},
	}
	if id := form.Get("id"); id != "" {
		act.IDs, act.Means = []string{id}, form.Get("means")
	}
	if text := form.Get("effort"); text != "" {
		if act.Options.Effort, err = strconv.ParseInt(text, 10, 64); err != nil {
			return act, fmt.Errorf("%q is no effort of a search; write a whole number", text)
		}
	}
	if text := form.Get("number"); text != "" {
		if act.Number, err = strconv.Atoi(strings.TrimSpace(text)); err != nil {
			return act, fmt.Errorf("%q is no number of a cord; write a whole number", text)
		}
	}
	for key, into := range map[string]*name.Point{"a": &act.A, "b": &act.B} {
		text := form.Get(key)
		if text == "" {
			continue
		}
		if *into, err = name.Parse(text); err != nil {
			return act, fmt.Errorf("the form names no jack: %w", err)
		}
	}
	return act, nil
}

func (h formHandler) beginning(form url.Values) (func(context.Context) error, error) {
	return func(context.Context) error {
		return filesHandler(h).lay(strings.TrimPrefix(form.Get("do"), "begin-"))
	}, nil
}

func (h formHandler) capture(form url.Values) (func(context.Context) error, error) {
	called, err := h.page.sessionName(form)
	if err != nil {
		return nil, err
	}
	return func(ctx context.Context) error { return h.page.Capture(ctx, called, nil) }, nil
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
	token := r.Header.Get(web.TokenHeader)
	return token != "" && subtle.ConstantTimeCompare([]byte(r.PostForm.Get("token")), []byte(token)) == 1
}

// refuse says what went wrong: to the script in a line, else above the room as it
// is.
func (h formHandler) refuse(w http.ResponseWriter, r *http.Request, code int, trouble string) {
	if byScript(r) {
		plainText(w, code, trouble)
		return
	}
	if h.page.unread() {
		filesHandler(h).files(w, r, trouble, code)
		return
	}
	h.page.room(w, r, asked{trouble: trouble}, code)
}
