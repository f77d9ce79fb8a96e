package page

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
	"bayhand/recall/web"
)

// behind is the page behind the server that stands before it in a daemon, and the
// cookie of a browser that was let in.
func behind(t *testing.T, f *fake) (http.Handler, *http.Cookie) {
	t.Helper()
	server, err := serve.Listen(f, serve.Options{Address: "127.0.0.1:0", Page: served(t, f)})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := server.Close(); err != nil {
			t.Error(err)
		}
	})
	way, err := url.Parse(server.Invite(serve.InviteRequest{Role: serve.Recall, Who: "anna", Here: true}).Address)
	if err != nil {
		t.Fatal(err)
	}
	let := handed(t, server.Handler(), httptest.NewRequest(http.MethodGet, way.RequestURI(), nil), nil).Result()
	if len(let.Cookies()) != 1 {
		t.Fatalf("letting in answers %s", let.Status)
	}
	return server.Handler(), let.Cookies()[0]
}

func handed(t *testing.T, h http.Handler, r *http.Request, cookie *http.Cookie) *httptest.ResponseRecorder {
	t.Helper()
	r.Host = "localhost"
	if cookie != nil {
		r.AddCookie(cookie)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// The token that the server gives the page opens both the form and the API to the
// browser that was let in; one that a browser makes up does not, nor does the token
// without the browser. Who acts is who was let in.
func TestTokenOfTheServer(t *testing.T) {
	f := &fake{status: status(t)}
	h, cookie := behind(t, f)
	html := handed(t, h, httptest.NewRequest(http.MethodGet, "/", nil), cookie).Body.String()
	found := regexp.MustCompile(`name="bayhand-token" content="([^"]+)"`).FindStringSubmatch(html)
	if found == nil {
		t.Fatal("there is no token in the page")
	}
	if w := handed(t, h, form(t, "token", found[1], "do", "done", "id", "2"), cookie); w.Code != http.StatusSeeOther {
		t.Errorf("the form answers %d", w.Code)
	}
	api := func() *http.Request {
		r := httptest.NewRequest(http.MethodPost, "/api/act", strings.NewReader(`{"do":"not-done","ids":["6"]}`))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set(web.TokenHeader, found[1])
		return r
	}
	if w := handed(t, h, api(), cookie); w.Code != http.StatusOK {
		t.Errorf("the API answers %d: %s", w.Code, w.Body)
	}
	if len(f.acts) != 2 || f.acts[0].IDs[0] != "2" || f.acts[1].IDs[0] != "6" || f.acts[1].Do != keep.NotDone {
		t.Fatalf("the room was told %+v", f.acts)
	}
	if f.acts[0].By != "anna" || f.acts[1].By != "anna" {
		t.Errorf("they are said to be by %q and %q", f.acts[0].By, f.acts[1].By)
	}
	for what, w := range map[string]*httptest.ResponseRecorder{
		"a token that was made up": handed(t, h, form(t, "token", "claimed", "do", "done", "id", "2"), cookie),
		"the token alone":          handed(t, h, api(), nil),
	} {
		if w.Code != http.StatusForbidden && w.Code != http.StatusUnauthorized || len(f.acts) != 2 {
			t.Errorf("%s: %d, and the room was told %+v", what, w.Code, f.acts)
		}
	}
}

// The names that the scripts and the server must agree on.
func TestScriptsSpeakToTheServer(t *testing.T) {
	var scripts string
	for name, a := range assets() {
		if strings.HasSuffix(name, ".js") {
			scripts += string(a.data)
		}
	}
	for _, want := range []string{`"/do"`, `"/changes"`, `meta[name="bayhand-token"]`, `"text/plain"`} {
		if !strings.Contains(scripts, want) {
			t.Errorf("the scripts lack %s", want)
		}
	}
}
