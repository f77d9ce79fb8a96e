package serve

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base32"
	"encoding/base64"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"

	"bayhand/recall/web"
)

// A screen elsewhere is let in by a code that is shown on this machine, as text
// and as a picture that its camera reads. The address in the picture leads to a
// page with one button, so that nothing that only looks at addresses uses the
// code up. A code lets one screen in.
const (
	invitePath = "/invite"
	inviteTime = 5 * time.Minute
)

type inviteRequest struct {
	Role Role `json:"role"`
}

// Invitation lets one screen in.
type Invitation struct {
	Code    string    `json:"code"`
	Role    Role      `json:"role"`
	Address string    `json:"address"`
	Until   time.Time `json:"until"`
}

// invitations are the codes that were shown and not used. The zero value is
// ready.
type invitations struct {
	// mu guards the field below.
	mu   sync.Mutex
	open []Invitation
}

// newCode is 40 bits, in letters and digits that are not mistaken for each other
// (RFC 4648, 6).
func newCode() string {
	b := make([]byte, 5)
	// rand.Read never fails: it ends the process where there is no randomness.
	_, _ = rand.Read(b)
	return base32.StdEncoding.EncodeToString(b)
}

func (i *invitations) add(one Invitation) {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.drop(time.Now())
	i.open = append(i.open, one)
}

// drop forgets those whose time is over.
func (i *invitations) drop(now time.Time) {
	kept := i.open[:0]
	for _, one := range i.open {
		if now.Before(one.Until) {
			kept = append(kept, one)
		}
	}
	i.open = kept
}

// take uses a code up, and says what it lets its screen do.
func (i *invitations) take(code string) Role {
	code = strings.ToUpper(strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' {
			return -1
		}
		return r
	}, code))
	i.mu.Lock()
	defer i.mu.Unlock()
	i.drop(time.Now())
	for n, one := range i.open {
		if subtle.ConstantTimeCompare([]byte(code), []byte(one.Code)) == 1 {
			i.open = append(i.open[:n], i.open[n+1:]...)
			return one.Role
		}
	}
	return RoleUnknown
}

// invite makes a code; only for whoever may recall.
func (s *Server) invite(w http.ResponseWriter, r *http.Request) {
	var q inviteRequest
	if err := read(w, r, &q); err != nil {
		refuseBody(w, err)
		return
	}
	switch {
	case q.Role == RoleUnknown:
		refuse(w, http.StatusBadRequest, "usage", "say what the screen may do: look, tick or recall")
		return
	case s.hosts.loopback:
		refuse(w, http.StatusConflict, "conflict", "nobody else can reach this daemon: it listens on this machine only")
		return
	}
	one := Invitation{Code: newCode(), Role: q.Role, Until: time.Now().Add(inviteTime)}
	one.Address = s.outside() + invitePath + "?code=" + one.Code
	s.invitations.add(one)
	answer(w, http.StatusOK, one)
}

// accept lets a screen in that has a code: it is given the token of its role, as
// a cookie for looking and to the page for what it may do.
func (s *Server) accept(w http.ResponseWriter, r *http.Request) {
	if !s.limits.try(machineOf(r)) {
		tooMany(w)
		return
	}
	r.Body = http.MaxBytesReader(w, r.Body, mostBody)
	role := RoleUnknown
	if r.ParseForm() == nil {
		role = s.invitations.take(r.PostForm.Get("code"))
	}
	token := s.options.Access.token(role)
	if token == "" {
		s.welcome(w, http.StatusForbidden, invited{Wrong: true})
		return
	}
	s.let(w, token)
	web.BoundWriting(w)
	w.Header().Set("Location", "/")
	w.WriteHeader(http.StatusSeeOther)
}

type invited struct {
	Code  string
	Wrong bool
}

// inviteStyle is all that the page has: a screen that is not let in may fetch
// nothing else.
const inviteStyle = `
:root { color-scheme: light dark; font: 1.125rem/1.5 system-ui, sans-serif; }
body { max-width: 30rem; margin: 0 auto; padding: 2rem 1.25rem; }
label, input, button { display: block; width: 100%; box-sizing: border-box; }
input { margin: .5rem 0 1rem; padding: .75rem; font: inherit; font-size: 1.75rem; letter-spacing: .15em; border: 2px solid; }
button { padding: 1rem; font: inherit; font-weight: 700; border: 2px solid; min-height: 3.5rem; }
:focus-visible { outline: 3px solid; outline-offset: 3px; }
[role=alert] { border-left: .5rem solid; padding-left: .75rem; font-weight: 700; }
`

var invitePage = template.Must(template.New("invite").Parse(`<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Let this screen in</title>
<style>` + inviteStyle + `</style>
<main>
<h1>Let this screen in</h1>
{{if .Wrong}}<p role="alert">That code is not known, or was used, or is older than five minutes. Ask for another one.</p>{{end}}
<form method="post" action="/invite">
<label>The code that is shown on the daemon's machine
<input name="code" value="{{.Code}}" autocomplete="off" autocapitalize="characters" spellcheck="false" required></label>
<button>Let it in</button>
</form>
</main>
`))

// invitePolicy lets the page have its own style and send its own form. The
// referrer goes to this site: a browser that may send none says that the form
// comes from nowhere (Origin: null), which is refused.
var invitePolicy = func() string {
	sum := sha256.Sum256([]byte(inviteStyle))
	return "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; form-action 'self'; frame-ancestors 'none'"
}()

// invitation is the page on which a code is typed, or stands already.
func (s *Server) invitation(w http.ResponseWriter, r *http.Request) {
	s.welcome(w, http.StatusOK, invited{Code: r.URL.Query().Get("code")})
}

func (s *Server) welcome(w http.ResponseWriter, status int, with invited) {
	web.BoundWriting(w)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", invitePolicy)
	w.Header().Set("Referrer-Policy", "same-origin")
	w.WriteHeader(status)
	// A reader that is gone needs no answer.
	_ = invitePage.Execute(w, with)
}

// outside is the base address by which other machines reach the server.
func (s *Server) outside() string {
	u, err := url.Parse(s.address)
	if err != nil || len(s.options.Hosts) == 0 {
		return s.reached
	}
	u.Host = s.options.Hosts[0] + ":" + u.Port()
	return u.String()
}
