package serve

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/json"
	"encoding/pem"
	"errors"
	"io"
	"log/slog"
	"math/big"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// browser is a screen elsewhere, with its cookies.
type browser struct {
	t    *testing.T
	http *http.Client
	base string
}

func (s *served) browser(t *testing.T) browser {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return browser{t, &http.Client{Jar: jar, Transport: s.client.http.Transport}, s.server.Address()}
}

func (b browser) get(path string) (int, string) {
	b.t.Helper()
	response, err := b.http.Get(b.base + path)
	return b.read(response, err)
}

func (b browser) post(path string, form url.Values) (int, string) {
	b.t.Helper()
	response, err := b.http.PostForm(b.base+path, form)
	return b.read(response, err)
}

func (b browser) read(response *http.Response, err error) (int, string) {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return response.StatusCode, string(text)
}

// A screen is let in by a code, once, for what the code is for; looking at the
// address does not use it up.
func TestInvitation(t *testing.T) {
	s := elsewhere(t)
	i, err := s.client.Invite(t.Context(), InviteRequest{Role: Tick})
	if err != nil || i.Role != Tick || len(i.Code) != 8 || time.Until(i.Until) > inviteTime {
		t.Fatalf("%+v, %v", i, err)
	}
	u, err := url.Parse(i.Address)
	if err != nil || u.Path != invitePath || u.Query().Get("code") != i.Code {
		t.Errorf("the address is %s, %v", i.Address, err)
	}
	screen := s.browser(t)
	if status, _ := screen.get("/"); status != 401 {
		t.Errorf("before it is let in: %d", status)
	}
	for range 3 {
		if status, page := screen.get(invitePath + "?code=" + i.Code); status != 200 || !strings.Contains(page, `value="`+i.Code+`"`) {
			t.Errorf("the page of the address: %d %s", status, page)
		}
	}
	if status, page := screen.post(invitePath, url.Values{"code": {"WRONGONE"}}); status != 403 || !strings.Contains(page, "Ask for another one") {
		t.Errorf("a wrong code: %d %s", status, page)
	}
	// As a person types it.
	typed := strings.ToLower(i.Code[:4]) + " " + i.Code[4:]
	if status, page := screen.post(invitePath, url.Values{"code": {typed}}); status != 200 || page != "page to tick for a screen at 127.0.0.1" {
		t.Errorf("let in: %d %s", status, page)
	}
	if status, page := screen.get("/"); status != 200 || page != "page to tick for a screen at 127.0.0.1" {
		t.Errorf("later: %d %s", status, page)
	}
	if status, _ := s.browser(t).post(invitePath, url.Values{"code": {i.Code}}); status != 403 {
		t.Errorf("another screen with the same code: %d", status)
	}
}

func TestCodesEndAndAreNotGuessed(t *testing.T) {
	var open invitations
	open.add(Invitation{Code: "AAAAAAAA", Role: Recall, Until: time.Now().Add(-time.Second)})
	open.add(Invitation{Code: "BBBBBBBB", Role: Look, Until: time.Now().Add(time.Hour)})
	for code, want := range map[string]Role{"AAAAAAAA": RoleUnknown, "": RoleUnknown, "bbbb-bbbb": Look} {
		if got, _ := open.take(code, false); got.Role != want {
			t.Errorf("%q lets in %s", code, got.Role)
		}
	}
	var l limits
	tries := 0
	for range 1000 {
		if l.try("guesser") {
			tries++
		}
	}
	if tries < triesAtOnce || tries > 2*triesAtOnce || !l.try("somebody else") {
		t.Errorf("%d codes could be tried", tries)
	}
}

// Whoever may not recall invites nobody, and on this machine alone there is
// nobody to invite.
func TestWhoMayInvite(t *testing.T) {
	s := elsewhere(t)
	for token, want := range map[string]int{"looks": 403, "ticks": 403, "recalls": 200, "": 401} {
		header := map[string]string{"Content-Type": "application/json", web.TokenHeader: token}
		if status, body := s.send(t, request{method: "POST", path: "/api/invite", body: `{"role":"look"}`, header: header}); status != want {
			t.Errorf("%q: %d %s", token, status, body)
		}
	}
	if _, err := serving(t, Options{}).client.Invite(t.Context(), InviteRequest{Role: Look}); !errors.Is(err, keep.ErrConflict) {
		t.Errorf("on the loopback: %v", err)
	}
}

// certified makes a certificate of one's own.
func certified(t *testing.T) (certificate, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "studio"}, NotAfter: time.Now().Add(time.Hour), DNSNames: []string{"studio"}}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	write := func(name, kind string, bytes []byte) string {
		file := filepath.Join(folder, name)
		if err := os.WriteFile(file, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: bytes}), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	return write("c.pem", "CERTIFICATE", der), write("k.pem", "PRIVATE KEY", secret)
}

// With a certificate of one's own commands speak TLS to the daemon that has it,
// and to no other.
func TestTLS(t *testing.T) {
	certificate, key := certified(t)
	s := serving(t, Options{Certificate: certificate, Key: key})
	s.room.answers(whole(), nil)
	if !strings.HasPrefix(s.server.Address(), "https://") {
		t.Fatalf("it is at %s", s.server.Address())
	}
	s.client.Trust(s.server.Mark())
	if _, err := s.client.Status(t.Context()); err != nil {
		t.Fatal(err) // it runs, and its entry is written
	}
	found, err := Find(t.Context(), s.state)
	if err != nil {
		t.Fatal(err)
	}
	defer found.Close()
	if _, err := found.Status(t.Context()); err != nil {
		t.Error(err)
	}
	other := NewClient(s.server.Address(), s.server.Token())
	defer other.Close()
	for _, mark := range []string{strings.Repeat("0", 64), ""} {
		if mark != "" {
			other.Trust(mark)
		}
		if _, err := other.Status(t.Context()); err == nil {
			t.Errorf("trusted by %q", mark)
		}
	}
	if _, err := Listen(s.room, Options{Address: "127.0.0.1:0", Certificate: certificate, Key: certificate}); err == nil || !strings.Contains(err.Error(), "cannot be used") {
		t.Errorf("without its key: %v", err)
	}
}

// A certificate that was renewed is taken while the daemon runs, and commands find
// it; half of one changes nothing.
func TestRenewedCertificate(t *testing.T) {
	certificate, key := certified(t)
	s := serving(t, Options{Certificate: certificate, Key: key})
	s.room.answers(whole(), nil)
	find := func() string {
		t.Helper()
		found, err := Find(t.Context(), s.state)
		if err != nil {
			t.Fatal(err)
		}
		defer found.Close()
		if _, err := found.Status(t.Context()); err != nil {
			t.Error(err)
		}
		return s.server.Mark()
	}
	s.client.Trust(s.server.Mark())
	if _, err := s.client.Status(t.Context()); err != nil {
		t.Fatal(err) // it runs
	}
	before := find()
	other, otherKey := certified(t)
	put := func(from, to string) {
		t.Helper()
		text, err := os.ReadFile(from)
		if err == nil {
			err = os.WriteFile(to, append(text, '\n'), 0o600) // longer: clocks are coarse
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	put(other, certificate)
	if mark := find(); mark != before {
		t.Error("a certificate was taken without its key")
	}
	put(otherKey, key)
	if mark := find(); mark == before {
		t.Error("the certificate before is shown still")
	}
}

// sink keeps what is logged.
type sink struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *sink) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *sink) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// Whatever is asked, by whichever way a token can come: the log has who asked for
// what, and no token and no code.
func TestNoSecretsInLogs(t *testing.T) {
	var log sink
	secrets := Access{Look: "secret-look", Tick: "secret-tick", Recall: "secret-recall"}
	s := serving(t, Options{
		Access: fixed(secrets), Log: slog.New(slog.NewTextHandler(&log, &slog.HandlerOptions{Level: slog.LevelDebug})),
		Page: http.HandlerFunc(func(http.ResponseWriter, *http.Request) {}), History: book{},
	})
	s.server.hosts.loopback = false
	s.server.limits = unlimited()
	s.room.answers(whole(), nil)
	i, err := s.client.Invite(t.Context(), InviteRequest{Role: Recall})
	if err != nil {
		t.Fatal(err)
	}
	tokens := []string{s.server.Token(), secrets.Look, secrets.Tick, secrets.Recall, "secret-wrong"}
	for _, token := range tokens {
		for _, q := range asked {
			for _, header := range []map[string]string{
				{"Authorization": "Bearer " + token}, {web.TokenHeader: token}, {"Cookie": guard{s.server}.cookieName() + "=" + token},
			} {
				header["Content-Type"] = "application/json"
				s.send(t, request{method: q.method, path: q.path, body: q.body, header: header})
			}
		}
		s.send(t, request{method: "GET", path: "/?token=" + token})
		s.send(t, request{method: "POST", path: "/do?token=" + token, body: "token=" + token, header: map[string]string{"Content-Type": "application/x-www-form-urlencoded"}})
	}
	screen := s.browser(t)
	screen.get(invitePath + "?code=" + i.Code)
	screen.post(invitePath, url.Values{"code": {"secret-code"}})
	screen.post(invitePath, url.Values{"code": {i.Code}})
	text := log.String()
	for _, secret := range append(tokens, i.Code, "secret-code") {
		if strings.Contains(text, secret) {
			t.Errorf("%q is in the log", secret)
		}
	}
	for _, noted := range []string{"path=/api/act do=recall status=200", "path=/api/act status=401", "path=/api/act do=recall status=403", "path=/invite status=403"} {
		if !strings.Contains(text, noted) {
			t.Errorf("%q is not in the log", noted)
		}
	}
}

// What is wrong is said with what it depends on, and only what is worth a word.
func TestRoomHealth(t *testing.T) {
	s := serving(t, Options{})
	ask := func(problems ...keep.Problem) (h health) {
		t.Helper()
		status := whole()
		status.Problems = problems
		s.room.answers(status, nil)
		_, body := s.send(t, request{method: "GET", path: "/api/health", header: map[string]string{web.TokenHeader: s.server.Token()}})
		if err := json.Unmarshal([]byte(body), &h); err != nil {
			t.Fatal(err)
		}
		return h
	}
	long := time.Now().Add(-time.Hour)
	if h := ask(); !h.Well || len(h.Problems) != 0 || h.Phase != keep.Waiting {
		t.Errorf("well: %+v", h)
	}
	h := ask(keep.Problem{Code: "no-answer", Severity: "error", Message: "grid is gone", Since: long},
		keep.Problem{Code: "drift", Severity: "warning", Since: long})
	if h.Well || len(h.Problems) != 1 || h.Problems[0].Message != "grid is gone" || h.Problems[0].Delay != 5 {
		t.Errorf("gone: %+v", h)
	}
	if h := ask(keep.Problem{Code: "drift", Severity: "warning", Since: long}); !h.Well || len(h.Problems) != 1 || len(h.Problems[0].DependsOn) != 3 {
		t.Errorf("turned: %+v", h)
	}
}
