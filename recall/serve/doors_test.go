package serve

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"bayhand/model/name"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// Another user of this machine opens the page: he learns how one is let in, and
// nothing that opens anything.
func TestStrangerHere(t *testing.T) {
	s := serving(t, Options{Page: shows, Studio: "secret place"})
	s.room.answers(whole(), nil)
	response := s.ask(t, "GET", "/health", "", "")
	body, err := io.ReadAll(response.Body)
	if err != nil || strings.TrimSpace(string(body)) != "{}" {
		t.Errorf("/health tells a stranger %q", body)
	}
	for _, path := range []string{"/", "/sessions", "/page/page.css", "/metrics", "/api/status", "/api/events", "/api/history", "/api/openapi.json", "/api/screens"} {
		if got := s.get(t, path, ""); got.StatusCode != http.StatusUnauthorized || got.Header.Get("X-Form") != "" {
			t.Errorf("%s answers %s", path, got.Status)
		}
	}
	r := httptest.NewRequest(http.MethodGet, "/", nil)
	r.Host, r.Header = "localhost", http.Header{"Accept": {"text/html"}}
	w := httptest.NewRecorder()
	s.server.Handler().ServeHTTP(w, r)
	if text := w.Body.String(); !strings.Contains(text, "bayhand page") || strings.Contains(text, s.server.Token()) {
		t.Errorf("the page says\n%s", text)
	}
}

// Whatever is answered, and to whom, a browser is told that no other site may frame it,
// load it as a part of its own, keep it, guess what it is, or hold on to its window.
func TestWhatABrowserIsTold(t *testing.T) {
	s := serving(t, Options{Page: shows})
	s.room.answers(whole(), nil)
	for _, path := range []string{"/", "/health", "/api/status", "/api/none", invitePath, "/page/page.css"} {
		for _, token := range []string{"", s.server.Token()} {
			h := s.ask(t, "GET", path, "", token).Header
			for key, want := range map[string]string{
				"X-Frame-Options": "DENY", "Cross-Origin-Resource-Policy": "same-origin", "Cross-Origin-Opener-Policy": "same-origin",
				"X-Content-Type-Options": "nosniff", "Cache-Control": "no-store", "Access-Control-Allow-Origin": "",
			} {
				if got := h.Get(key); got != want {
					t.Errorf("%s with the token %q: %s is %q, want %q", path, token, key, got, want)
				}
			}
		}
	}
	// The window's is for addresses that a browser trusts (Secure Contexts, 3.1).
	if got := elsewhere(t).ask(t, "GET", "/health", "", "").Header.Get("Cross-Origin-Opener-Policy"); got != "" {
		t.Errorf("where it would be ignored it is %q", got)
	}
}

// A browser here is let in once by the address that a command hands to it; looking
// ahead at it uses nothing up, nor does it let in as a code does.
func TestBrowserHere(t *testing.T) {
	s := serving(t, Options{Page: shows})
	s.room.answers(whole(), nil)
	i, err := s.client.Invite(t.Context(), InviteRequest{Role: Recall, Who: "anna", Here: true})
	if err != nil {
		t.Fatal(err)
	}
	path := enterPath + "?code=" + i.Code
	if i.Address != s.server.Address()+path || len(i.Code) < 26 {
		t.Errorf("the address is %s", i.Address)
	}
	ahead := map[string]string{"Sec-Purpose": "prefetch"}
	for what, q := range map[string]request{
		"HEAD": {method: "HEAD", path: path}, "looking ahead": {method: "GET", path: path, header: ahead},
		"as a code": {method: "POST", path: invitePath, body: "code=" + i.Code, header: map[string]string{"Content-Type": "application/x-www-form-urlencoded"}},
	} {
		if status, _ := s.send(t, q); status == http.StatusSeeOther {
			t.Errorf("%s lets in", what)
		}
	}
	first := s.get(t, path, "")
	if first.StatusCode != http.StatusSeeOther || first.Header.Get("Location") != "/" {
		t.Fatalf("the address answers %s", first.Status)
	}
	if second := s.get(t, path, ""); second.StatusCode != http.StatusForbidden {
		t.Errorf("the second time it answers %s", second.Status)
	}
	c := first.Cookies()[0]
	if !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Domain != "" {
		t.Errorf("the cookie is %+v", c)
	}
	_, body := s.send(t, request{method: "GET", path: "/", header: map[string]string{"Cookie": c.Name + "=" + c.Value, web.WhoHeader: "the lead engineer", web.RoleHeader: "recall"}})
	if body != "page to recall for anna" {
		t.Errorf("the page is given %q", body)
	}
}

// A name keeps its letters, of whatever script, in the page, in the list of screens and in the
// history; what would steer a terminal or turn the direction of what follows is not one.
func TestNamesKeepTheirLetters(t *testing.T) {
	s := elsewhere(t)
	for who, want := range map[string]string{
		"Zoë": "Zoë", "Łukasz Żółć, 良太, נועה": "Łukasz Żółć, 良太, נועה",
		"a\x1b[2Jb\nc\u202ed": "a?[2Jb?c?d", strings.Repeat("ë", 120): strings.Repeat("ë", 100),
	} {
		cookie, _ := s.letIn(t, InviteRequest{Role: Recall, Who: who})
		if _, body := s.send(t, request{method: "GET", path: "/", header: map[string]string{"Cookie": cookie}}); body != "page to recall for "+want {
			t.Errorf("%q: the page is given %q", who, body)
		}
		if strings.Contains(who, "\n") {
			continue // no name of who uses a machine
		}
		s.client.Who = who
		if _, err := s.client.Act(t.Context(), keep.Act{Do: keep.Pulled, A: name.At("main", "t", 1)}); err != nil {
			t.Fatal(err)
		}
		if heard := s.room.last(); !strings.HasSuffix(heard, "by "+want) {
			t.Errorf("%q: the room heard %s", who, heard)
		}
	}
}

// Who did it is who was let in, whatever the request says.
func TestNobodyActsInAnotherName(t *testing.T) {
	s := elsewhere(t)
	cookie, form := s.letIn(t, InviteRequest{Role: Tick, Who: "anna"})
	for _, header := range []map[string]string{{"Cookie": cookie, web.TokenHeader: form}, {web.TokenHeader: "ticks"}} {
		header["Content-Type"], header[web.WhoHeader] = "application/json", "somebody else"
		if status, body := s.send(t, request{method: "POST", path: "/api/act", body: `{"do":"pull","a":"main/t1"}`, header: header}); status != 200 {
			t.Fatal(body)
		}
		if heard := s.room.last(); strings.Contains(heard, "somebody else") || !strings.HasSuffix(heard, "by anna") && !strings.Contains(heard, "with the token to tick") {
			t.Errorf("the room heard %s", heard)
		}
	}
}

// tell reads a stream until it has an event, or has ended.
func tell(t *testing.T, lines *bufio.Reader) (string, error) {
	t.Helper()
	for {
		line, err := lines.ReadString('\n')
		if err != nil || strings.HasPrefix(line, "data: ") {
			return line, err
		}
	}
}

// A token that is taken out of its file opens nothing from then on, nor does what
// was let in by it; streams that are open tell nothing more.
func TestTokenTakenOut(t *testing.T) {
	folder := t.TempDir()
	write := func(a Access) {
		t.Helper()
		text, err := json.Marshal(a)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, AccessFile), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(Access{Look: "looks", Recall: "recalls"})
	s := serving(t, Options{Page: shows, Access: AccessIn(folder)})
	s.room.answers(whole(), nil)
	let := s.get(t, "/?token=looks", "")
	cookie := let.Cookies()[0].Name + "=" + let.Cookies()[0].Value
	if got := s.get(t, "/", cookie); got.StatusCode != http.StatusOK {
		t.Fatalf("let in: %s", got.Status)
	}
	r, err := http.NewRequestWithContext(t.Context(), "GET", s.server.Address()+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer looks")
	stream, err := s.client.http.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	lines := bufio.NewReader(stream.Body)
	s.room.post(whole())
	if _, err := tell(t, lines); err != nil {
		t.Fatal(err)
	}
	write(Access{Recall: "recalls"})
	if got := s.ask(t, "GET", "/api/status", "", "looks"); got.StatusCode != http.StatusUnauthorized {
		t.Errorf("the token opens still: %s", got.Status)
	}
	if got := s.get(t, "/", cookie); got.StatusCode != http.StatusUnauthorized {
		t.Errorf("the browser that came by it: %s", got.Status)
	}
	s.room.post(whole())
	if line, err := tell(t, lines); err == nil {
		t.Errorf("the stream tells %q", line)
	}
	if got := s.ask(t, "GET", "/api/status", "", "recalls"); got.StatusCode != http.StatusOK {
		t.Errorf("the other token: %s", got.Status)
	}
	if err := os.WriteFile(filepath.Join(folder, AccessFile), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := s.ask(t, "GET", "/api/status", "", "recalls"); got.StatusCode != http.StatusUnauthorized {
		t.Errorf("with a file that makes no sense: %s", got.Status)
	}
}

// Screens are let out one by one; they stay let in over a restart, and their file
// lets nobody in.
func TestScreensAreRevoked(t *testing.T) {
	s := elsewhere(t)
	one, _ := s.letIn(t, InviteRequest{Role: Look, Who: "one"})
	two, _ := s.letIn(t, InviteRequest{Role: Tick, Who: "two"})
	all, err := s.client.Screens(t.Context())
	if err != nil || len(all) != 2 || all[1].Who != "one" || all[0].Role != Tick {
		t.Fatalf("%+v, %v", all, err)
	}
	if _, err := s.client.Revoke(t.Context(), "nobody"); err == nil {
		t.Error("a screen that is none was let out")
	}
	if n, err := s.client.Revoke(t.Context(), all[1].ID); err != nil || n != 1 {
		t.Fatal(n, err)
	}
	again, err := openScreens(s.state)
	if err != nil {
		t.Fatal(err)
	}
	for cookie, want := range map[string]bool{one: false, two: true} {
		if got := s.get(t, "/", cookie); (got.StatusCode == http.StatusOK) != want {
			t.Errorf("%s answers %s", cookie, got.Status)
		}
		_, value, _ := strings.Cut(cookie, "=")
		if _, ok := again.find(value); ok != want {
			t.Errorf("after a restart %s is let in: %v", cookie, ok)
		}
		text, err := os.ReadFile(again.file)
		if err != nil || strings.Contains(string(text), value) {
			t.Errorf("the file has a cookie: %v", err)
		}
	}
	if info, err := os.Stat(again.file); err != nil || runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info, err)
	}
	if n, err := s.client.Revoke(t.Context(), ""); err != nil || n != 1 {
		t.Error(n, err)
	}
}

// A server of another user at another port of this machine is sent the cookie by
// the browser, and shows it as its own.
func TestCookieOfAnotherUser(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the system does not tell whose a connection is")
	}
	s := elsewhere(t)
	cookie, _ := s.letIn(t, InviteRequest{Role: Recall})
	_, value, _ := strings.Cut(cookie, "=")
	found, ok := s.server.screens.find(value)
	if !ok || found.User != strconv.Itoa(os.Getuid()) {
		t.Fatalf("the browser is that of user %q", found.User)
	}
	for i := range s.server.screens.All {
		s.server.screens.All[i].User = "12345"
	}
	if got := s.get(t, "/", cookie); got.StatusCode != http.StatusUnauthorized {
		t.Errorf("the cookie of another user: %s", got.Status)
	}
}

// The table of sockets is read as proc_net_tcp(5) describes it; its own example is
// that of 127.0.0.1.
func TestUserOfAConnection(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("there is no such table")
	}
	for _, address := range []string{"127.0.0.1:0", "[::1]:0"} {
		l, err := net.Listen("tcp", address)
		if err != nil {
			continue // this machine has no such loopback
		}
		defer l.Close()
		c, err := net.Dial("tcp", l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		client, server := netip.MustParseAddrPort(c.LocalAddr().String()), netip.MustParseAddrPort(c.RemoteAddr().String())
		if got := systemUser(client, server); got != strconv.Itoa(os.Getuid()) {
			t.Errorf("%s is of user %q", client, got)
		}
		if got := systemUser(netip.AddrPortFrom(client.Addr(), 1), server); got != "" {
			t.Errorf("a connection that is none is of user %q", got)
		}
	}
}

// What listens where the daemon did repeats what it has heard from it, and asks the
// daemon itself what it is asked: neither is believed.
func TestProofIsNotRepeated(t *testing.T) {
	s := serving(t, Options{})
	s.room.answers(whole(), nil)
	var heard []string
	relay := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		response, err := http.Get(s.server.Address() + r.URL.RequestURI())
		if err != nil {
			t.Error(err)
			return
		}
		defer response.Body.Close()
		text, err := io.ReadAll(response.Body)
		if err != nil {
			t.Error(err)
		}
		heard = append(heard, string(text))
		w.Header().Set("Content-Type", "application/json")
		_, _ = io.WriteString(w, heard[0]) // the first that was ever heard
		if r.Header.Get("Authorization") != "" {
			t.Error("it was sent the token")
		}
	}))
	defer relay.Close()
	state := t.TempDir()
	entry := Entry{Address: relay.URL, Token: s.server.Token(), PID: 1}
	if err := entry.write(state); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if _, err := Find(t.Context(), state); !errors.Is(err, ErrNobody) {
			t.Errorf("the relay is believed: %v", err)
		}
	}
	if len(heard) != 2 || heard[0] == heard[1] {
		t.Errorf("the proofs are %q", heard)
	}
}

// Neither an address with a token nor anything else leads to another site.
func TestNoWayToAnotherSite(t *testing.T) {
	s := elsewhere(t)
	s.server.limits = unlimited()
	for _, path := range []string{"/%5cevil.example", "//evil.example", "/%09/evil.example", "/%0d/evil.example", "///evil.example", "/..%5c/evil.example"} {
		response := s.get(t, path+"?token=looks", "")
		if to := response.Header.Get("Location"); to != "" {
			u, err := url.Parse(strings.NewReplacer("\t", "", "\r", "", "\n", "", `\`, "/").Replace(to))
			if err != nil || u.Host != "" {
				t.Errorf("%s leads to %q", path, to)
			}
		}
	}
}

// A machine counts as one, however many addresses it has.
func TestOneMachine(t *testing.T) {
	for _, same := range [][]string{
		{"127.0.0.1:1", "127.9.8.7:2", "[::1]:3", "[::ffff:127.0.0.1]:4"},
		{"[2001:db8::1]:1", "[2001:db8::ffff:1]:2"},
		{"192.0.2.1:1", "[::ffff:192.0.2.1]:2"},
	} {
		first := machineOf(&http.Request{RemoteAddr: same[0]})
		for _, address := range same {
			if got := machineOf(&http.Request{RemoteAddr: address}); got != first {
				t.Errorf("%s counts as %s, %s as %s", same[0], first, address, got)
			}
		}
		if first == machineOf(&http.Request{RemoteAddr: "192.0.2.2:1"}) {
			t.Errorf("%s counts as another machine", same[0])
		}
	}
}
