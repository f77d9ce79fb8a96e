package serve

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// served is a server and a client of a fake room.
type served struct {
	room   *fake
	server *Server
	client *Client
	state  string
	// end ends the server and gives what Run returned.
	end func() error
}

func serving(t *testing.T, o Options) *served {
	t.Helper()
	s := &served{room: &fake{held: make(chan struct{})}, state: t.TempDir()}
	o.Address, o.State, o.Studio = "127.0.0.1:0", s.state, "studio.yaml"
	var err error
	if s.server, err = Listen(s.room, o); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.server.Run(ctx) }()
	over := false
	s.end = func() error {
		if over {
			return nil
		}
		over = true
		cancel()
		return <-ended
	}
	s.client = NewClient(s.server.Address(), s.server.Token())
	t.Cleanup(func() {
		s.client.Close()
		if err := s.end(); err != nil {
			t.Error(err)
		}
	})
	return s
}

func TestEveryActArrives(t *testing.T) {
	s := serving(t, Options{})
	s.client.Who = "anna"
	s.room.answers(whole(), nil)
	s.room.unfinished = []keep.Unfinished{{Code: "no-answer", Matrix: "grid", Message: "grid is silent"}, {Code: "differs", Matrix: "far", Message: "out1 differs"}}
	want := keep.Answer{Status: whole(), Unfinished: s.room.unfinished, Took: []string{}, Waits: []keep.Later{}}
	for _, act := range wholeActs() {
		got, err := s.client.Act(t.Context(), act)
		if err != nil {
			t.Errorf("%+v: %v", act, err)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%+v is answered\n%s", act, diff)
		}
		if !errors.Is(got.Err(), keep.ErrNoAnswer) || !errors.Is(got.Err(), keep.ErrDiffers) || errors.Is(got.Err(), keep.ErrRefused) {
			t.Errorf("what is unfinished is %v", got.Err())
		}
		text, err := json.Marshal(act)
		if err != nil || s.room.last() != string(text)+" by anna" {
			t.Errorf("the room heard %q, want %s; %v", s.room.last(), text, err)
		}
	}
	if status, err := s.client.Status(t.Context()); err != nil || !cmp.Equal(status, whole()) {
		t.Errorf("the status is %+v, %v", status, err)
	}
}

// wholeActs are acts of every kind, with everything that each can have.
func wholeActs() []keep.Act {
	var all []keep.Act
	for _, kind := range keep.ActKinds {
		act := keep.Act{Do: kind.Do}
		for _, field := range slices.Concat(kind.Needs, kind.May) {
			switch field {
			case "session":
				act.Session = "tern"
			case "options":
				act.Options = keep.RecallOptions{Prefer: "plain", Partly: true, LeaveCords: true, Inside: true, Room: "live", Instead: true, Effort: 1920}
			case "ids":
				act.IDs = []string{"1", "2"}
			case "all", "means": // instead of steps, and about one: acts of their own, below
			case "matrix":
				act.Matrix = "grid"
			case "switch":
				act.Switch = []plan.Change{{Output: name.At("grid", "out", 1), Input: name.At("grid", "in", 2)}}
			case "number":
				act.Number = 7
			case "fault":
				act.Fault = "dead"
			case "a":
				act.A = name.At("main", "t", 1)
			case "b":
				act.B = name.Point{Owner: "desk", Stem: "ins", Number: 2, Part: name.Send}
			default:
				panic("no value for the field " + field)
			}
		}
		all = append(all, act)
	}
	return append(all, keep.Act{Do: keep.WereDone, All: true}, keep.Act{Do: keep.NotDone, IDs: []string{"1"}, Means: "0123456789ab"}, keep.Act{Do: keep.Plugged, A: name.At("main", "t", 1)})
}

func TestErrorsSurviveTheWire(t *testing.T) {
	s := serving(t, Options{})
	all := []error{
		keep.ErrNoAnswer, keep.ErrRefused, keep.ErrDiffers, keep.ErrNotGiven, keep.ErrUnknownSession, keep.ErrUnknownStep,
		keep.ErrUnknownPoint, keep.ErrConflict, keep.ErrUsage, keep.ErrNoStudio, keep.ErrJournal, keep.ErrStopped,
	}
	for _, is := range all {
		s.room.answers(keep.Status{}, fmt.Errorf("grid: %w, for a reason", is))
		_, err := s.client.Act(t.Context(), keep.Act{Do: keep.WereDone, All: true})
		for _, other := range all {
			if errors.Is(err, other) != (is == other) {
				t.Errorf("%v arrives as %v", is, err)
			}
		}
		if err == nil || err.Error() != "grid: "+is.Error()+", for a reason" {
			t.Errorf("%v says %v", is, err)
		}
	}
	s.room.answers(keep.Status{}, keep.ErrBeside)
	if _, err := s.client.Act(t.Context(), keep.Act{Do: keep.WereDone, All: true}); !errors.Is(err, keep.ErrBeside) || keep.Code(err) != "conflict" {
		t.Errorf("a session beside arrives as %v", err)
	}
	s.room.answers(keep.Status{}, errors.New("something else"))
	if _, err := s.client.Act(t.Context(), keep.Act{Do: keep.WereDone, All: true}); err == nil || keep.Code(err) != "internal" {
		t.Errorf("an unknown error arrives as %v", err)
	}
}

func TestStatusComesWithTheError(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), keep.ErrConflict)
	got, err := s.client.Act(t.Context(), keep.Act{Do: keep.ToUndo})
	errorIs(t, err, keep.ErrConflict)
	if diff := cmp.Diff(whole(), got.Status); diff != "" {
		t.Error(diff)
	}
	missing := []plan.Missing{{Want: "a/out1 -> b/in1", Because: "no free tie"}}
	s.room.answers(whole(), &keep.NotGivenError{Session: "tern", Missing: missing})
	_, err = s.client.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "tern"})
	var not *keep.NotGivenError
	if !errors.As(err, &not) || not.Session != "tern" || !cmp.Equal(not.Missing, missing) {
		t.Errorf("error %v", err)
	}
	s.room.answers(whole(), &keep.NotGivenError{Session: "tern", Stopped: true})
	_, err = s.client.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "tern"})
	if not = nil; !errors.As(err, &not) || !not.Stopped || len(not.Missing) > 0 {
		t.Errorf("that the search stopped arrives as %+v", not)
	}
}

// request is one as a stranger might send it.
type request struct {
	method, path, body string
	header             map[string]string
	host               string
}

func (s *served) send(t *testing.T, q request) (int, string) {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), q.method, s.server.Address()+q.path, strings.NewReader(q.body))
	if err != nil {
		t.Fatal(err)
	}
	for k, v := range q.header {
		r.Header.Set(k, v)
	}
	if q.host != "" {
		r.Host = q.host
	}
	response, err := s.client.http.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return response.StatusCode, string(text)
}

func TestWhoMayDoWhat(t *testing.T) {
	s := serving(t, Options{Page: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		fmt.Fprintf(w, "page with %s", r.Header.Get(web.TokenHeader))
	})})
	s.room.answers(whole(), nil)
	token := s.server.Token()
	mine := strings.TrimPrefix(s.server.Address(), "http://")
	with := func(pairs ...string) map[string]string {
		h := map[string]string{"Content-Type": "application/json"}
		for i := 0; i < len(pairs); i += 2 {
			h[pairs[i]] = pairs[i+1]
		}
		return h
	}
	pull := func(h map[string]string) request {
		return request{method: "POST", path: "/api/act", body: `{"do":"pull","a":"main/t1"}`, header: h}
	}
	for _, c := range []struct {
		what string
		q    request
		want int
	}{
		{"bearer", pull(with("Authorization", "Bearer "+token)), 200},
		{"header", pull(with(web.TokenHeader, token)), 200},
		{"the page's own request", pull(with(web.TokenHeader, token, "Origin", "http://"+mine, "Sec-Fetch-Site", "same-origin")), 200},
		{"no token", pull(with()), 401},
		{"another token", pull(with("Authorization", "Bearer "+strings.Repeat("0", 64))), 401},
		{"half a token", pull(with(web.TokenHeader, token[:32])), 401},
		{"nobody looks", request{method: "GET", path: "/api/status"}, 401},
		{"nobody sees the page", request{method: "GET", path: "/"}, 401},
		{"nobody sees what is written", request{method: "GET", path: "/api/history"}, 401},
		{"a cookie", pull(with("Cookie", "token="+token)), 401},
		{"another site's request", pull(with(web.TokenHeader, token, "Origin", "http://example.org")), 403},
		{"another port's request", pull(with(web.TokenHeader, token, "Origin", "http://127.0.0.1:1")), 403},
		{"a file's request", pull(with(web.TokenHeader, token, "Origin", "null")), 403},
		{"a cross-site request", pull(with(web.TokenHeader, token, "Sec-Fetch-Site", "cross-site")), 403},
		{"another site's name for this machine", request{method: "GET", path: "/api/status", host: "example.org"}, 403},
		{"the same for the page", request{method: "GET", path: "/", host: "example.org:7420"}, 403},
		{"by name", request{method: "GET", path: "/api/status", host: "localhost:7420", header: with("Authorization", "Bearer "+token)}, 200},
		{"by the loopback of IPv6", request{method: "GET", path: "/api/status", host: "[::1]:7420", header: with("Authorization", "Bearer "+token)}, 200},
		{"by an address elsewhere", request{method: "GET", path: "/api/status", host: "192.0.2.1"}, 403},
		{"another site looks", request{method: "GET", path: "/api/status", header: map[string]string{"Origin": "http://example.org"}}, 403},
		{"a link to the page", request{method: "GET", path: "/", header: with("Authorization", "Bearer "+token, "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate")}, 200},
		{"a link to the status", request{method: "GET", path: "/api/status", header: map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "navigate"}}, 403},
		{"the page in a foreign script", request{method: "GET", path: "/", header: map[string]string{"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Mode": "no-cors"}}, 403},
		{"a form", request{method: "POST", path: "/api/act", body: "do=pull&a=main/t1", header: map[string]string{web.TokenHeader: token, "Content-Type": "application/x-www-form-urlencoded"}}, 415},
		{"a change by GET", request{method: "GET", path: "/api/act", header: with(web.TokenHeader, token)}, 404},
		{"nothing there", request{method: "GET", path: "/api/other"}, 404},
		{"an option that is none", request{method: "POST", path: "/api/act", body: `{"do":"recall","session":"rest","optoins":{}}`, header: with(web.TokenHeader, token)}, 400},
		{"a jack that is none", request{method: "POST", path: "/api/act", body: `{"do":"pull","a":"Main/t1"}`, header: with(web.TokenHeader, token)}, 400},
		{"two values", request{method: "POST", path: "/api/act", body: `{"do":"undo"}{}`, header: with(web.TokenHeader, token)}, 400},
		{"no value", request{method: "POST", path: "/api/act", header: with(web.TokenHeader, token)}, 400},
		{"too much", request{method: "POST", path: "/api/act", body: `{"do":"done","ids":["` + strings.Repeat("1", mostBody) + `"]}`, header: with(web.TokenHeader, token)}, 413},
		{"an event that is none", request{method: "GET", path: "/api/history?since=x", header: with("Authorization", "Bearer "+token)}, 400},
	} {
		heard := len(s.room.calls)
		status, body := s.send(t, c.q)
		if status != c.want {
			t.Errorf("%s: %d %s, want %d", c.what, status, body, c.want)
		}
		if c.want >= 400 {
			var e errorAnswer
			if err := json.Unmarshal([]byte(body), &e); err != nil || e.Code == "" || e.Message == "" {
				t.Errorf("%s: no error in %q", c.what, body)
			}
			if len(s.room.calls) != heard {
				t.Errorf("%s: the room heard of it", c.what)
			}
		}
	}
}

func TestEntry(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), nil)
	if _, err := s.client.Status(t.Context()); err != nil { // it runs
		t.Fatal(err)
	}
	file := filepath.Join(s.state, EntryFile)
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("mode %v", info.Mode())
	}
	e, err := readEntry(s.state)
	if want := (Entry{Address: s.server.Address(), Token: s.server.Token(), PID: os.Getpid(), Studio: "studio.yaml"}); err != nil || e != want {
		t.Errorf("entry %+v, %v", e, err)
	}
	found, err := Find(t.Context(), s.state)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := found.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: keep.RestName}); err != nil {
		t.Error(err)
	}
	found.Close()
	if err := s.end(); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(file); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("the entry is left behind: %v", err)
	}
}

func TestEntriesOfNobody(t *testing.T) {
	other := serving(t, Options{})
	port := other.server.Address()
	dead := serving(t, Options{})
	gone := dead.server.Address()
	if err := dead.end(); err != nil {
		t.Fatal(err)
	}
	for what, text := range map[string]string{
		"none":                        "",
		"nonsense":                    "{",
		"without an address":          `{"token": "t"}`,
		"of a daemon that died":       `{"address": "` + gone + `", "token": "t", "pid": 1}`,
		"whose port is another's now": `{"address": "` + port + `", "token": "t", "pid": 1}`,
	} {
		state := t.TempDir()
		if text != "" {
			if err := os.WriteFile(filepath.Join(state, EntryFile), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if _, err := Find(t.Context(), state); !errors.Is(err, ErrNobody) {
			t.Errorf("an entry %s: %v", what, err)
		}
	}
	if len(other.room.calls) > 0 {
		t.Errorf("the other daemon heard %q", other.room.calls)
	}
}

// An entry that another daemon has written meanwhile is not ours to remove.
func TestEntryOfTheNext(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), nil)
	if _, err := s.client.Status(t.Context()); err != nil {
		t.Fatal(err)
	}
	next := Entry{Address: "http://127.0.0.1:1", Token: "next", PID: 1}
	if err := next.write(s.state); err != nil {
		t.Fatal(err)
	}
	if err := s.end(); err != nil {
		t.Fatal(err)
	}
	if e, err := readEntry(s.state); err != nil || e != next {
		t.Errorf("the next one's entry is %+v, %v", e, err)
	}
}
