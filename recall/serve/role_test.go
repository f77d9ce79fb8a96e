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

// fixed are tokens that stay.
func fixed(a Access) func() (Access, error) { return func() (Access, error) { return a, nil } }

// shows is a page that shows who it is for.
var shows = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("X-Form", r.Header.Get(web.TokenHeader))
	_, _ = w.Write([]byte("page to " + r.Header.Get(web.RoleHeader) + " for " + r.Header.Get(web.WhoHeader)))
})

// letIn is a browser that was let in, by its cookie and the token of its forms.
func (s *served) letIn(t *testing.T, q InviteRequest) (cookie, form string) {
	t.Helper()
	i, err := s.client.Invite(t.Context(), q)
	if err != nil {
		t.Fatal(err)
	}
	path, body := invitePath, url.Values{"code": {i.Code}}.Encode()
	method := "POST"
	if q.Here {
		path, body, method = enterPath+"?code="+i.Code, "", "GET"
	}
	r, err := http.NewRequestWithContext(t.Context(), method, s.server.Address()+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	response, err := s.client.http.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	response.Body.Close()
	if response.StatusCode != http.StatusSeeOther || len(response.Cookies()) != 1 {
		t.Fatalf("letting in answers %s", response.Status)
	}
	cookie = response.Cookies()[0].Name + "=" + response.Cookies()[0].Value
	page := s.get(t, "/", cookie)
	return cookie, page.Header.Get("X-Form")
}

// get asks as a browser with a cookie does, following nothing.
func (s *served) get(t *testing.T, path, cookie string) *http.Response {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), "GET", s.server.Address()+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Accept", "text/html")
	if cookie != "" {
		r.Header.Set("Cookie", cookie)
	}
	response, err := s.client.http.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	response.Body.Close()
	return response
}

// elsewhere is a server that other machines can reach.
func elsewhere(t *testing.T) *served {
	t.Helper()
	s := serving(t, Options{
		Access: fixed(Access{Look: "looks", Tick: "ticks", Recall: "recalls"}),
		Page:   shows,
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

// What a form says it does opens no other address of the page; a whole file is brought
// by who may recall, past the bound of other forms.
func TestFormsOfOtherAddresses(t *testing.T) {
	s := elsewhere(t)
	long := strings.Repeat("x", mostBody)
	for _, c := range []struct {
		path, token, body string
		status            int
	}{
		{"/do", "ticks", "do=done&id=1", http.StatusOK},
		{"/draw", "ticks", "do=done&act=save&text=" + long, http.StatusForbidden},
		{"/listen", "ticks", "do=done", http.StatusForbidden},
		{"/draw", "recalls", "act=save&text=" + long, http.StatusOK},
		{"/do", "recalls", "do=recall&session=" + long, http.StatusRequestEntityTooLarge},
	} {
		header := map[string]string{"Content-Type": "application/x-www-form-urlencoded", "Authorization": "Bearer " + c.token}
		if status, _ := s.send(t, request{method: http.MethodPost, path: c.path, body: c.body, header: header}); status != c.status {
			t.Errorf("%s with %.40s of who %s: %d", c.path, c.body, c.token, status)
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

// A browser that may do everything recalls by name, and reaches no file; the token
// of the state folder, which its owner alone can read (TestEntry), does.
func TestBrowserReachesNoFile(t *testing.T) {
	s := serving(t, Options{Page: shows})
	s.room.answers(whole(), nil)
	cookie, form := s.letIn(t, InviteRequest{Role: Recall, Here: true})
	own := map[string]string{"Authorization": "Bearer " + s.server.Token()}
	mine := map[string]string{"Cookie": cookie, web.TokenHeader: form}
	for _, c := range []struct {
		header  map[string]string
		session string
		want    int
	}{
		{mine, "tern-mix-1", 200}, {mine, "/etc/secret.yaml", 400}, {mine, "../secret", 400}, {mine, "secret.yaml", 400},
		{own, "tern-mix-1", 200}, {own, "/etc/secret.yaml", 200},
	} {
		c.header["Content-Type"] = "application/json"
		heard := len(s.room.calls)
		status, body := s.send(t, request{method: "POST", path: "/api/act", body: `{"do":"recall","session":"` + c.session + `"}`, header: c.header})
		if status != c.want || (status == 200) != (len(s.room.calls) > heard) {
			t.Errorf("%q: %d %s, want %d; the room heard %q", c.session, status, body, c.want, s.room.calls[heard:])
		}
	}
}

// A cookie lets a browser look, and changes nothing by itself.
func TestCookieOnlyLooks(t *testing.T) {
	s := elsewhere(t)
	cookies := map[Role]string{}
	for _, role := range []Role{Look, Tick, Recall} {
		cookies[role], _ = s.letIn(t, InviteRequest{Role: role})
	}
	cookie := func(role Role) map[string]string {
		return map[string]string{"Content-Type": "application/json", "Cookie": cookies[role]}
	}
	form := func(role Role, do string) request {
		header := map[string]string{"Content-Type": "application/x-www-form-urlencoded", "Cookie": cookies[role]}
		return request{method: "POST", path: "/do", body: "do=" + do, header: header}
	}
	for _, c := range []struct {
		what string
		q    request
		want int
	}{
		{"no token", request{method: "GET", path: "/"}, 401},
		{"a wrong one in the address", request{method: "GET", path: "/?token=nobody's"}, 401},
		{"that of commands in the address", request{method: "GET", path: "/?token=" + s.server.Token()}, 401},
		{"the right one in the address", request{method: "GET", path: "/?token=ticks"}, 303},
		{"a change by an address", request{method: "POST", path: "/tick?token=ticks"}, 401},
		{"a token as a cookie", request{method: "GET", path: "/", header: map[string]string{"Cookie": guard{s.server}.cookieName() + "=recalls"}}, 401},
		{"the cookie of another daemon", request{method: "GET", path: "/", header: map[string]string{"Cookie": strings.Replace(cookies[Recall], "bayhand-", "bayhand-0", 1)}}, 401},
		{"the page", request{method: "GET", path: "/", header: cookie(Look)}, 200},
		{"the status", request{method: "GET", path: "/api/status", header: cookie(Look)}, 200},
		{"a tick at the page of one who looks", form(Look, "done"), 403},
		{"a tick at the page", form(Tick, "done"), 200},
		{"a recall at the page of one who ticks", form(Tick, "recall"), 403},
		{"a recall at the page", form(Recall, "recall"), 200},
		{"a form of another kind", form(Tick, "whatever"), 403},
		{"two wishes in one form", form(Tick, "recall&do=done"), 403},
		{"a wish in the address", request{method: "POST", path: "/do?do=done", header: cookie(Tick)}, 403},
		{"a tick by the cookie alone", request{method: "POST", path: "/api/act", body: `{"do":"done","all":true}`, header: cookie(Recall)}, 401},
	} {
		if status, body := s.send(t, c.q); status != c.want {
			t.Errorf("%s: %d %s, want %d", c.what, status, body, c.want)
		}
	}
	if _, body := s.send(t, request{method: "GET", path: "/", header: cookie(Look)}); body != "page to look for a screen at 127.0.0.1" {
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
	status, body := s.send(t, request{method: "GET", path: "/metrics", header: map[string]string{web.TokenHeader: s.server.Token()}})
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
		"bayhand_steps_left person": 2, "bayhand_steps_left device": 0, "bayhand_matrix_answers g\"r\\i\nd": 1,
		"bayhand_problems error": 0, "bayhand_problems warning": 1, "bayhand_problems advice": 0, "bayhand_recalls": 2,
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}
