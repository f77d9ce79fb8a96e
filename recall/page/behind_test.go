package page

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
	"bayhand/recall/web"
)

// behind is the page behind the server that stands before it in a daemon.
func behind(t *testing.T, f *fake) http.Handler {
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
	return server.Handler()
}

func handed(t *testing.T, h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	t.Helper()
	r.Host = "localhost"
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// The token that the server gives the page opens both the form and the API, and
// one that a browser makes up does not.
func TestTokenOfTheServer(t *testing.T) {
	f := &fake{status: status(t)}
	h := behind(t, f)
	claimed := httptest.NewRequest(http.MethodGet, "/", nil)
	claimed.Header.Set(web.TokenHeader, "claimed")
	html := handed(t, h, claimed).Body.String()
	found := regexp.MustCompile(`name="bayhand-token" content="([^"]+)"`).FindStringSubmatch(html)
	if found == nil || found[1] == "claimed" {
		t.Fatalf("the token in the page is %v", found)
	}
	if w := handed(t, h, form(t, "token", found[1], "do", "done", "id", "2")); w.Code != http.StatusSeeOther {
		t.Errorf("the form answers %d", w.Code)
	}
	api := httptest.NewRequest(http.MethodPost, "/api/act", strings.NewReader(`{"do":"not-done","ids":["6"]}`))
	api.Header.Set("Content-Type", "application/json")
	api.Header.Set(web.TokenHeader, found[1])
	if w := handed(t, h, api); w.Code != http.StatusOK {
		t.Errorf("the API answers %d: %s", w.Code, w.Body)
	}
	if len(f.acts) != 2 || f.acts[0].IDs[0] != "2" || f.acts[1].IDs[0] != "6" || f.acts[1].Do != keep.NotDone {
		t.Errorf("the room was told %+v", f.acts)
	}
	guess := form(t, "token", "claimed", "do", "done", "id", "2")
	guess.Header.Set(web.TokenHeader, "claimed")
	if w := handed(t, h, guess); w.Code != http.StatusForbidden || len(f.acts) != 2 {
		t.Errorf("a token that was made up: %d, and the room was told %+v", w.Code, f.acts)
	}
}

// The names that the scripts and the server must agree on.
func TestScriptsSpeakToTheServer(t *testing.T) {
	var scripts string
	for name, a := range assets {
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
