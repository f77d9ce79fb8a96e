package page

import (
	"context"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// whole is a room of which the page and the API use no more than the fake has.
type whole struct {
	keep.Room
	fake *fake
}

func (w whole) Status(ctx context.Context) (keep.Status, error) { return w.fake.Status(ctx) }
func (w whole) Tick(ctx context.Context, tick keep.Tick) (keep.Status, error) {
	return w.fake.Tick(ctx, tick)
}

// behind is the page behind the server that stands before it in a daemon.
func behind(t *testing.T, f *fake) http.Handler {
	t.Helper()
	server, err := serve.Listen(whole{fake: f}, serve.Options{Address: "127.0.0.1:0", Page: served(t, f)})
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
	claimed.Header.Set(tokenHeader, "claimed")
	html := handed(t, h, claimed).Body.String()
	found := regexp.MustCompile(`name="bayhand-token" content="([^"]+)"`).FindStringSubmatch(html)
	if found == nil || found[1] == "claimed" {
		t.Fatalf("the token in the page is %v", found)
	}
	if w := handed(t, h, form(t, "token", found[1], "do", "tick", "id", "2")); w.Code != http.StatusSeeOther {
		t.Errorf("the form answers %d", w.Code)
	}
	api := httptest.NewRequest(http.MethodPost, "/api/tick", strings.NewReader(`{"ids":["6"],"not":true}`))
	api.Header.Set("Content-Type", "application/json")
	api.Header.Set(tokenHeader, found[1])
	if w := handed(t, h, api); w.Code != http.StatusOK {
		t.Errorf("the API answers %d: %s", w.Code, w.Body)
	}
	if len(f.ticks) != 2 || f.ticks[0].IDs[0] != "2" || f.ticks[1].IDs[0] != "6" || !f.ticks[1].Not {
		t.Errorf("the room was told %+v", f.ticks)
	}
	guess := form(t, "token", "claimed", "do", "tick", "id", "2")
	guess.Header.Set(tokenHeader, "claimed")
	if w := handed(t, h, guess); w.Code != http.StatusForbidden || len(f.ticks) != 2 {
		t.Errorf("a token that was made up: %d, and the room was told %+v", w.Code, f.ticks)
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
	if tokenHeader != serve.TokenHeader {
		t.Errorf("the page's header is %s, the server's %s", tokenHeader, serve.TokenHeader)
	}
}
