package attacks_test

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"bayhand/recall/serve"
)

// nobody is the number of a user who owns nothing (Debian Policy, 9.2.2).
const nobody = 65534

// strangerVariable makes this program an attacker: it has what he knows, in JSON.
const strangerVariable = "BAYHAND_TEST_STRANGER"

// stranger is what an attacker knows: where the daemon is and has its files, and what
// he has seen of a browser that was let in.
type stranger struct {
	Addresses []string
	// Closed are addresses at which nobody may answer him.
	Closed []string
	State  string
	Files  []string
	Cookie string
}

// attack does all that he can, and says what opened, one a line.
func (s stranger) attack(opened io.Writer) {
	for _, file := range s.Files {
		if src, err := os.ReadFile(file); err == nil {
			fmt.Fprintf(opened, "%s is read: %d bytes\n", file, len(src))
		}
		if f, err := os.OpenFile(file, os.O_WRONLY, 0); err == nil {
			f.Close()
			fmt.Fprintf(opened, "%s is written\n", file)
		}
	}
	if s.State != "" {
		if err := os.WriteFile(filepath.Join(s.State, serve.AccessFile), []byte("{}"), 0o600); err == nil {
			fmt.Fprintf(opened, "%s is put there\n", serve.AccessFile)
		}
	}
	for _, address := range s.Closed {
		if conn, err := net.DialTimeout("tcp", address, tooLong); err == nil {
			conn.Close()
			fmt.Fprintf(opened, "%s answers\n", address)
		}
	}
	for _, address := range s.Addresses {
		for _, q := range requestsOf() {
			s.try(opened, address, q)
		}
	}
}

// wrong is one request with what is told in it.
type wrong struct {
	method, path, body string
	header             map[string]string
	cookie             bool
}

func requestsOf() []wrong {
	var all []wrong
	claims := []map[string]string{
		{}, {"X-Forwarded-For": "127.0.0.1", "Forwarded": "for=127.0.0.1"}, {"X-Bayhand-Who": "root", "X-Bayhand-Role": "recall", "X-Bayhand-Token": "x"},
		{"Authorization": "Bearer "}, {"Host": "localhost"}, {"Accept": "text/html"},
	}
	for _, path := range []string{"/", "/sessions", "/happened", "/files", "/changes", "/metrics", "/api/status", "/api/events", "/api/history", "/api/screens", "/api/openapi.json"} {
		for _, header := range claims {
			all = append(all, wrong{"GET", path, "", header, false}, wrong{"GET", path, "", header, true})
		}
	}
	for path, body := range map[string]string{
		"/api/act": `{"do":"recall","session":"second"}`, "/api/prune": `{"before":"2100-01-01T00:00:00Z"}`,
		"/api/invite": `{"role":"recall","who":"root"}`, "/api/revoke": `{"id":"1"}`,
	} {
		for _, header := range claims {
			all = append(all, wrong{"POST", path, body, header, false}, wrong{"POST", path, body, header, true})
		}
	}
	return append(all, wrong{"POST", "/do", "do=strip", map[string]string{"Content-Type": "application/x-www-form-urlencoded"}, true})
}

// try asks for one thing, which has to be refused.
func (s stranger) try(opened io.Writer, address string, w wrong) {
	q, err := http.NewRequest(w.method, address+w.path, strings.NewReader(w.body))
	if err != nil {
		return
	}
	for key, value := range w.header {
		q.Header.Set(key, value)
	}
	if q.Host = w.header["Host"]; q.Host == "" {
		q.Host = q.URL.Host
	}
	if w.body != "" && q.Header.Get("Content-Type") == "" {
		q.Header.Set("Content-Type", "application/json")
	}
	if w.cookie {
		q.Header.Set("Cookie", s.Cookie)
	}
	client := &http.Client{Timeout: tooLong, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	got, err := client.Do(q)
	if err != nil {
		fmt.Fprintf(opened, "%s %s%s was not answered: %v\n", w.method, address, w.path, err)
		return
	}
	got.Body.Close()
	refused := []int{http.StatusUnauthorized, http.StatusForbidden}
	if !slices.Contains(refused, got.StatusCode) {
		fmt.Fprintf(opened, "%s %s%s %v, cookie %v: %s\n", w.method, address, w.path, w.header, w.cookie, got.Status)
	}
}

// Somebody else who is logged in on the machine knows where everything is, and has the
// cookie of a browser that was let in: no file of the state and no request opens
// anything, on the loopback or by the machine's address. It takes root to be somebody
// else.
func TestAnotherUserOfTheMachine(t *testing.T) {
	if os.Geteuid() != 0 {
		t.Skip("only root can be another user")
	}
	r := newRoom(t, "grid")
	r.address = "0.0.0.0:0"
	client := r.start()
	// The folders above are open to all: what shuts is the daemon's own doing.
	for folder := r.folder; folder != os.TempDir() && folder != "/"; folder = filepath.Dir(folder) {
		must(t, os.Chmod(folder, 0o755))
	}
	s := stranger{Addresses: []string{client.Address()}, State: r.at("state"), Cookie: r.letIn(client)}
	var err error
	s.Files, err = filepath.Glob(filepath.Join(s.State, "*"))
	must(t, err)
	if own := ownAddress(); own != "" {
		_, port, err := net.SplitHostPort(strings.TrimPrefix(client.Address(), "http://"))
		must(t, err)
		s.Addresses = append(s.Addresses, "http://"+net.JoinHostPort(own, port))
	}
	if opened := s.as(t, nobody); opened != "" {
		t.Errorf("this opened:\n%s", opened)
	}
	status, err := client.Status(t.Context())
	if err != nil || status.Session != "" {
		t.Errorf("it is in %q, %v", status.Session, err)
	}
	// The same by its owner opens: else nothing was proved.
	if opened := s.as(t, 0); !strings.Contains(opened, serve.EntryFile+" is read") || !strings.Contains(opened, "200 OK") {
		t.Errorf("by its owner only this opened:\n%s", opened)
	}
	r.end(syscall.SIGTERM)
}

// as has another user attack, and gives what opened. The program that he runs may be
// run by another, such as one that puts it into another network.
func (s stranger) as(t *testing.T, user uint32, by ...string) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "stranger-*")
	must(t, err)
	defer os.RemoveAll(folder)
	must(t, os.Chmod(folder, 0o755))
	this, err := os.Executable()
	must(t, err)
	src, err := os.ReadFile(this)
	must(t, err)
	must(t, os.WriteFile(filepath.Join(folder, "stranger"), src, 0o755))
	known, err := json.Marshal(s)
	must(t, err)
	command := append(by, filepath.Join(folder, "stranger"))
	c := exec.CommandContext(t.Context(), command[0], command[1:]...)
	c.Dir, c.Env = "/", append(os.Environ(), strangerVariable+"="+string(known))
	c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: user, Gid: user}}
	out, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return string(out)
}

// letIn lets a browser of this user in, and gives its cookie.
func (r *room) letIn(c *serve.Client) string {
	r.t.Helper()
	i, err := c.Invite(r.t.Context(), serve.InviteRequest{Role: serve.Recall, Who: "anna", Here: true})
	must(r.t, err)
	return r.enter(i.Address)
}

// enter has a browser follow the address of an invitation, and gives its cookie.
func (r *room) enter(address string) string {
	r.t.Helper()
	jar, err := cookiejar.New(nil)
	must(r.t, err)
	browser := &http.Client{Jar: jar}
	got, err := browser.Get(address)
	must(r.t, err)
	got.Body.Close()
	if len(jar.Cookies(got.Request.URL)) != 1 {
		r.t.Fatalf("letting a browser in answers %s", got.Status)
	}
	return jar.Cookies(got.Request.URL)[0].String()
}

// ownAddress is one by which other machines reach this one; empty where it has none.
func ownAddress() string {
	all, _ := net.InterfaceAddrs()
	for _, a := range all {
		if network, ok := a.(*net.IPNet); ok && network.IP.To4() != nil && !network.IP.IsLoopback() {
			return network.IP.String()
		}
	}
	return ""
}
