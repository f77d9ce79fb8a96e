package serve

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base32"
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

var invitePage = template.Must(template.New("invite").Parse(`<!doctype html>
<html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>Let this screen in</title>
<h1>Let this screen in</h1>
{{if .Wrong}}<p role="alert">That code is not known any more. Each lets one screen in, within five minutes.</p>{{end}}
<form method="post" action="/invite">
<p><label>The code that is shown on the daemon's machine <input name="code" value="{{.Code}}" autocomplete="off" autocapitalize="characters" required></label>
<p><button>Let it in</button>
</form>
`))

// invitation is the page on which a code is typed, or stands already.
func (s *Server) invitation(w http.ResponseWriter, r *http.Request) {
	s.welcome(w, http.StatusOK, invited{Code: r.URL.Query().Get("code")})
}

func (s *Server) welcome(w http.ResponseWriter, status int, with invited) {
	web.BoundWriting(w)
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Content-Security-Policy", "default-src 'none'; form-action 'self'; frame-ancestors 'none'")
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
