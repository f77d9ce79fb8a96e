package page

import (
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"bayhand/recall/keep"
)

func form(t testing.TB, values ...string) *http.Request {
	t.Helper()
	v := url.Values{}
	for i := 0; i < len(values); i += 2 {
		v.Set(values[i], values[i+1])
	}
	r := httptest.NewRequest(http.MethodPost, "/do", strings.NewReader(v.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return r
}

func TestTickByForm(t *testing.T) {
	f := &fake{status: status(t)}
	h := served(t, f)
	answer, _ := ask(t, h, form(t, "token", token, "do", "done", "id", "2"))
	if answer.StatusCode != http.StatusSeeOther || answer.Header.Get("Location") != "/#next" {
		t.Errorf("a tick answers %s to %q", answer.Status, answer.Header.Get("Location"))
	}
	ask(t, h, form(t, "token", token, "do", "not-done", "id", "6"))
	if len(f.acts) != 2 || f.acts[0].IDs[0] != "2" || f.acts[0].Do != keep.WereDone || f.acts[1].IDs[0] != "6" || f.acts[1].Do != keep.NotDone {
		t.Errorf("the room was told %+v", f.acts)
	}
}

func TestTickIsRefused(t *testing.T) {
	for _, test := range []struct {
		what   string
		form   *http.Request
		refuse error
		code   int
		says   string
		told   int
	}{
		{"without a token", form(t, "id", "2"), nil, http.StatusForbidden, "Look again", 0},
		{"with another token", form(t, "token", "guess", "do", "done", "id", "2"), nil, http.StatusForbidden, "Look again", 0},
		{"without a step", form(t, "token", token, "do", "done"), nil, http.StatusBadRequest, "names no step", 0},
		{"with nothing to do", form(t, "token", token, "do", "dance"), nil, http.StatusBadRequest, "is not valid", 0},
		{"with no jack", form(t, "token", token, "do", "plug", "a", "main//"), nil, http.StatusBadRequest, "names no jack", 0},
		{"too long", form(t, "token", token, "do", "done", "id", strings.Repeat("2", 2*longest)), nil, http.StatusBadRequest, "could not be read", 0},
		{"by the room", form(t, "token", token, "do", "done", "id", "99"), errors.New("no step 99 is left"), http.StatusConflict, "no step 99 is left", 1},
	} {
		t.Run(test.what, func(t *testing.T) {
			f := &fake{status: status(t), refuse: test.refuse}
			answer, html := ask(t, served(t, f), test.form)
			if answer.StatusCode != test.code || !strings.Contains(html, test.says) {
				t.Errorf("answers %s, and not %q", answer.Status, test.says)
			}
			if len(f.acts) != test.told {
				t.Errorf("the room was told %+v", f.acts)
			}
			if !strings.Contains(html, `data-jack="main/t1"`) {
				t.Error("the room itself is no longer shown")
			}
		})
	}
}

// What was taken is told as taken, whatever a device does: a person who reads that
// it was not would press again, and tick a move that was not made.
func TestTakenWithASilentMatrix(t *testing.T) {
	f := &fake{status: status(t), unfinished: []keep.Unfinished{
		{Code: "no-answer", Matrix: "grid", Message: "a device did not answer: grid at tcp:x:1: refused"},
	}}
	h := served(t, f)
	r := form(t, "token", token, "do", "done", "id", "2")
	r.Header.Set("Accept", "text/plain")
	answer, text := ask(t, h, r)
	if answer.StatusCode != http.StatusOK || text != "Saved. No answer from the grid." {
		t.Errorf("a tick with a silent matrix answers %s: %q", answer.Status, text)
	}
	if answer, _ := ask(t, h, form(t, "token", token, "do", "done", "id", "2")); answer.StatusCode != http.StatusSeeOther {
		t.Errorf("without a script it answers %s", answer.Status)
	}
	f.unfinished = nil
	r = form(t, "token", token, "do", "done", "id", "2")
	r.Header.Set("Accept", "text/plain")
	if answer, text := ask(t, h, r); answer.StatusCode != http.StatusNoContent || text != "" {
		t.Errorf("a tick of which nothing is left answers %s: %q", answer.Status, text)
	}
}

// A page that nobody stands in front of has no token, and takes no form.
func TestNoTokenIsNoPermission(t *testing.T) {
	f := &fake{status: status(t)}
	w := httptest.NewRecorder()
	served(t, f).ServeHTTP(w, form(t, "token", "", "id", "2"))
	if w.Code != http.StatusForbidden || len(f.acts) != 0 {
		t.Errorf("answers %d, and the room was told %+v", w.Code, f.acts)
	}
}

func TestRoomThatCannotBeRead(t *testing.T) {
	answer, html := get(t, served(t, &fake{err: errors.New("the keeper has left")}), "/")
	if answer.StatusCode != http.StatusServiceUnavailable || !strings.Contains(html, "the keeper has left") {
		t.Errorf("answers %s: %s", answer.Status, html)
	}
}

func TestEmptyRoom(t *testing.T) {
	f := &fake{status: keep.Status{Phase: keep.Idle}}
	h := New(Options{Room: f})
	answer, html := get(t, h, "/")
	if answer.StatusCode != http.StatusOK || !strings.Contains(html, "Nothing to plug") || !strings.Contains(html, "no session") {
		t.Errorf("answers %s: %s", answer.Status, html)
	}
}
