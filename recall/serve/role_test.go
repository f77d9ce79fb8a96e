package serve

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/prometheus/common/expfmt"
	"github.com/prometheus/common/model"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// elsewhere is a server that other machines can reach.
func elsewhere(t *testing.T) *served {
	t.Helper()
	s := serving(t, Options{
		Access: Access{Look: "looks", Tick: "ticks", Recall: "recalls"},
		Page: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			_, _ = w.Write([]byte("page with " + r.Header.Get(web.TokenHeader)))
		}),
	})
	s.server.hosts.loopback = false
	s.room.answers(whole(), nil)
	return s
}

// What each role may do of everything that is answered, by every way in which a
// token can come.
func TestRoles(t *testing.T) {
	s := elsewhere(t)
	for _, r := range s.server.routes() {
		if r.path == "/api/events" {
			continue // it does not end; TestEvents has it
		}
		for token, has := range map[string]Role{"": RoleUnknown, "nobody's": RoleUnknown, "looks": Look, "ticks": Tick, "recalls": Recall, s.server.Token(): Recall} {
			header := map[string]string{"Content-Type": "application/json"}
			if token != "" {
				header["Authorization"] = "Bearer " + token
			}
			want := func(status int) bool { return status != 401 && status != 403 }
			switch {
			case r.role == RoleUnknown:
			case has == RoleUnknown:
				want = func(status int) bool { return status == 401 }
			case has < r.role:
				want = func(status int) bool { return status == 403 }
			}
			heard := len(s.room.calls)
			status, _ := s.send(t, request{method: r.method, path: r.path, body: `{}`, header: header})
			if !want(status) {
				t.Errorf("%s %s with %q: %d", r.method, r.path, token, status)
			}
			if (status == 401 || status == 403) && len(s.room.calls) != heard {
				t.Errorf("%s %s with %q: the room heard of it", r.method, r.path, token)
			}
		}
	}
}

// No request reaches a file by its path, but those of this machine's commands:
// neither by the API nor by a form of the page.
func TestPathsOfSessions(t *testing.T) {
	s := elsewhere(t)
	for _, c := range []struct {
		session string
		plain   bool
	}{
		{"tern-mix-1", true}, {"rest", true}, {"Tern, première", true}, {"a..b", true},
		{"../secret", false}, {"/etc/secret.yaml", false}, {"secret.yaml", false}, {"..", false}, {`..\secret`, false},
		{"C:secret", false}, {".hidden", false}, {"a\x00b", false}, {"sub/tern", false},
	} {
		body, err := json.Marshal(keep.Act{Do: keep.ToRecall, Session: c.session})
		if err != nil {
			t.Fatal(err)
		}
		want := map[bool]int{true: 200, false: 400}[c.plain]
		api := request{method: "POST", path: "/api/act", body: string(body), header: map[string]string{"Content-Type": "application/json", web.TokenHeader: "recalls"}}
		if status, text := s.send(t, api); status != want {
			t.Errorf("%q by the API: %d %s", c.session, status, text)
		}
		form := request{method: "POST", path: "/do", body: url.Values{"do": {"recall"}, "session": {c.session}}.Encode(),
			header: map[string]string{"Content-Type": "application/x-www-form-urlencoded", web.TokenHeader: "recalls"}}
		if status, text := s.send(t, form); status != want {
			t.Errorf("%q by the page: %d %s", c.session, status, text)
		}
		if _, err := s.client.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: c.session}); err != nil {
			t.Errorf("%q by a command: %v", c.session, err)
		}
	}
}

// The page's token, which everybody on this machine can read in the page, recalls
// by name, but reaches no file; that of the state folder, which its owner alone
// can read (TestEntry), does.
func TestPageTokenReachesNoFile(t *testing.T) {
	s := serving(t, Options{Page: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		_, _ = w.Write([]byte(r.Header.Get(web.TokenHeader)))
	})})
	s.room.answers(whole(), nil)
	_, shown := s.send(t, request{method: "GET", path: "/"})
	entry, err := readEntry(s.state)
	if err != nil {
		t.Fatal(err)
	}
	if shown == entry.Token {
		t.Error("the page shows the token of the state folder")
	}
	for _, c := range []struct {
		token, session string
		want           int
	}{
		{shown, "tern-mix-1", 200}, {shown, "/etc/secret.yaml", 400}, {shown, "../secret", 400}, {shown, "secret.yaml", 400},
		{entry.Token, "tern-mix-1", 200}, {entry.Token, "/etc/secret.yaml", 200},
	} {
		for _, header := range []map[string]string{{web.TokenHeader: c.token}, {"Authorization": "Bearer " + c.token}} {
			header["Content-Type"] = "application/json"
			heard := len(s.room.calls)
			status, body := s.send(t, request{method: "POST", path: "/api/act", body: `{"do":"recall","session":"` + c.session + `"}`, header: header})
			if status != c.want || (status == 200) != (len(s.room.calls) > heard) {
				t.Errorf("%q by %.5q: %d %s, want %d; the room heard %q", c.session, c.token, status, body, c.want, s.room.calls[heard:])
			}
		}
	}
}

// A cookie lets a browser look, and changes nothing by itself.
func TestCookieOnlyLooks(t *testing.T) {
	s := elsewhere(t)
	cookie := func(token string) map[string]string {
		return map[string]string{"Content-Type": "application/json", "Cookie": LookCookie + "=" + token}
	}
	form := func(token, do string) request {
		header := map[string]string{"Content-Type": "application/x-www-form-urlencoded", "Cookie": LookCookie + "=" + token}
		return request{method: "POST", path: "/do", body: "do=" + do, header: header}
	}
	for _, c := range []struct {
		what string
		q    request
		want int
	}{
		{"no token", request{method: "GET", path: "/"}, 401},
		{"a wrong one in the address", request{method: "GET", path: "/?token=nobody's"}, 401},
		{"the right one in the address", request{method: "GET", path: "/?token=ticks"}, 303},
		{"a change by an address", request{method: "POST", path: "/tick?token=ticks"}, 401},
		{"the page", request{method: "GET", path: "/", header: cookie("looks")}, 200},
		{"the status", request{method: "GET", path: "/api/status", header: cookie("looks")}, 200},
		{"a tick at the page of one who looks", form("looks", "done"), 403},
		{"a tick at the page", form("ticks", "done"), 200},
		{"a recall at the page of one who ticks", form("ticks", "recall"), 403},
		{"a recall at the page", form("recalls", "recall"), 200},
		{"a form of another kind", form("ticks", "whatever"), 403},
		{"two wishes in one form", form("ticks", "recall&do=done"), 403},
		{"a wish in the address", request{method: "POST", path: "/do?do=done", header: cookie("ticks")}, 403},
		{"a tick by the cookie alone", request{method: "POST", path: "/api/act", body: `{"do":"done","all":true}`, header: cookie("recalls")}, 401},
	} {
		if status, body := s.send(t, c.q); status != c.want {
			t.Errorf("%s: %d %s, want %d", c.what, status, body, c.want)
		}
	}
	if _, body := s.send(t, request{method: "GET", path: "/", header: cookie("looks")}); body != "page with looks" {
		t.Errorf("the page is given %q", body)
	}
}

// The commands of this machine are let in by the entry, wherever the server
// listens.
func TestCommandsWhereTokensAreNeeded(t *testing.T) {
	s := elsewhere(t)
	if _, err := s.client.Status(t.Context()); err != nil {
		t.Error(err)
	}
	if _, err := s.client.Find(t.Context(), keep.Query{}); err != nil {
		t.Error(err)
	}
}

func TestReadAccess(t *testing.T) {
	folder := t.TempDir()
	made, err := ReadAccess(folder)
	if err != nil || made.Look == "" || made.Look == made.Tick || made.Tick == made.Recall {
		t.Fatalf("made %+v, %v", made, err)
	}
	again, err := ReadAccess(folder)
	if err != nil || !cmp.Equal(made, again) {
		t.Errorf("the next start has %+v, %v", again, err)
	}
	file := filepath.Join(folder, AccessFile)
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	if err := os.WriteFile(file, []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := ReadAccess(folder); err == nil || !strings.Contains(err.Error(), "take it away") {
		t.Errorf("error %v", err)
	}
}

// The figures are read by the format's own parser (Prometheus exposition formats,
// text format 0.0.4).
func TestMetrics(t *testing.T) {
	s := serving(t, Options{})
	odd := whole()
	odd.Matrices[0].Name = "g\"r\\i\nd"
	s.room.answers(odd, nil)
	status, body := s.send(t, request{method: "GET", path: "/metrics"})
	if status != 200 {
		t.Fatalf("%d %s", status, body)
	}
	parser := expfmt.NewTextParser(model.LegacyValidation)
	families, err := parser.TextToMetricFamilies(strings.NewReader(body))
	if err != nil {
		t.Fatalf("%v in\n%s", err, body)
	}
	got := map[string]float64{}
	for name, family := range families {
		for _, m := range family.Metric {
			key := name
			for _, l := range m.Label {
				key += " " + l.GetValue()
			}
			got[key] = m.GetGauge().GetValue()
		}
	}
	want := map[string]float64{
		"bayhand_phase idle": 0, "bayhand_phase pushing": 0, "bayhand_phase waiting": 1, "bayhand_phase given": 0, "bayhand_phase stuck": 0,
		"bayhand_steps_left person": 1, "bayhand_steps_left device": 0, "bayhand_matrix_answers g\"r\\i\nd": 1,
		"bayhand_problems error": 0, "bayhand_problems warning": 1, "bayhand_problems advice": 0, "bayhand_recalls": 2,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
