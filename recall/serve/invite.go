package serve

import (
	"crypto/rand"
	"encoding/base32"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"time"

	"bayhand/model/phrase"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// A screen elsewhere is let in by a code that is shown on this machine, as text
// and as a picture that its camera reads. The address in the picture leads to a
// page with one button, so that nothing that only looks at addresses uses the
// code up. A browser on this machine is let in by an address alone, which is
// handed to it and shown to nobody else. Either lets one screen in.
const (
	invitePath = "/invite"
	enterPath  = "/enter"
	inviteTime = 5 * time.Minute
	// mostInvitations may be open at once.
	mostInvitations = 100
)

// InviteRequest asks for an invitation.
type InviteRequest struct {
	// Role is what the screen may do.
	Role Role `json:"role"`
	// Who is let in, for the history; empty for nobody in particular.
	Who string `json:"who,omitempty"`
	// Here is true for a browser on this machine.
	Here bool `json:"here,omitempty"`
}

// Invitation lets one screen in.
type Invitation struct {
	Code    string    `json:"code"`
	Role    Role      `json:"role"`
	Who     string    `json:"who,omitempty"`
	Address string    `json:"address"`
	Until   time.Time `json:"until"`
	here    bool
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
	if len(i.open) == mostInvitations {
		i.open = i.open[1:]
	}
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

// elsewhere are those for screens elsewhere that nobody has used yet.
func (i *invitations) elsewhere() []Invitation {
	i.mu.Lock()
	defer i.mu.Unlock()
	i.drop(time.Now())
	var all []Invitation
	for _, one := range i.open {
		if !one.here {
			all = append(all, one)
		}
	}
	return all
}

// role is what a code for a screen elsewhere lets it do; nothing is used up.
func (i *invitations) role(code string) Role {
	for _, one := range i.elsewhere() {
		if same(plainCode(code), one.Code) {
			return one.Role
		}
	}
	return RoleUnknown
}

// plainCode is a code as it was made, however it was typed.
func plainCode(code string) string {
	return strings.ToUpper(strings.Map(func(r rune) rune {
		if r == ' ' || r == '-' {
			return -1
		}
		return r
	}, code))
}

// take uses a code up, which is for a browser here or for a screen elsewhere; false
// where there is none.
func (i *invitations) take(code string, here bool) (Invitation, bool) {
	code = plainCode(code)
	i.mu.Lock()
	defer i.mu.Unlock()
	i.drop(time.Now())
	for n, one := range i.open {
		if one.here == here && same(code, one.Code) {
			i.open = append(i.open[:n], i.open[n+1:]...)
			return one, true
		}
	}
	return Invitation{}, false
}

// entrance lets screens in, by invitations.
type entrance struct{ server *Server }

// invite makes a code; only for whoever may recall.
func (h entrance) invite(w http.ResponseWriter, r *http.Request) {
	var q InviteRequest
	if err := read(w, r, &q); err != nil {
		refuseBody(w, err)
		return
	}
	switch {
	case q.Role == RoleUnknown:
		refuse(w, http.StatusBadRequest, "usage", "say what the screen may do: look, tick or recall")
		return
	case h.server.hosts.loopback && !q.Here:
		refuse(w, http.StatusConflict, "conflict", "nobody else can reach this daemon: it listens on this machine only")
		return
	}
	answer(w, http.StatusOK, h.server.Invite(q))
}

// Invite makes an invitation.
func (s *Server) Invite(q InviteRequest) Invitation {
	one := Invitation{Code: newCode(), Role: q.Role, Who: printable(q.Who), Until: time.Now().Add(inviteTime), here: q.Here}
	if q.Here {
		one.Code = rand.Text() // 130 bits, which nobody types
		one.Address = s.inside() + enterPath + "?code=" + one.Code
	} else {
		one.Address = s.outside() + invitePath + "?code=" + one.Code
	}
	s.invitations.add(one)
	return one
}

// accept lets a screen in that has a code: it is given a session of its own. What
// only looks ahead at an address uses nothing up.
func (h entrance) accept(w http.ResponseWriter, r *http.Request) {
	here, code := r.URL.Path == enterPath, r.URL.Query().Get("code")
	if !here && !h.server.limits.try(machineOf(r)) { // what nobody types, nobody guesses
		tooMany(w)
		return
	}
	if here && (r.Method != http.MethodGet || r.Header.Get("Sec-Purpose") != "") {
		w.WriteHeader(http.StatusNoContent)
		return
	}
	if !here {
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		code = ""
		if r.ParseForm() == nil {
			code = r.PostForm.Get("code")
		}
	}
	one, ok := h.server.invitations.take(code, here)
	if !ok {
		h.welcome(w, http.StatusForbidden, invited{Wrong: true})
		return
	}
	h.let(w, r, letIn{Screen: Screen{Role: one.Role, Who: one.Who}})
	web.BoundWriting(w)
	w.Header().Set("Location", "/")
	w.WriteHeader(http.StatusSeeOther)
}

type screensAnswer struct {
	Screens []Screen `json:"screens"`
}

func (h entrance) listScreens(w http.ResponseWriter, _ *http.Request) {
	answer(w, http.StatusOK, screensAnswer{h.server.screens.list()})
}

type revokeRequest struct {
	// ID is that of a screen; All is for every one.
	ID  string `json:"id,omitempty"`
	All bool   `json:"all,omitempty"`
}

type revoked struct {
	Revoked int `json:"revoked"`
}

// revoke lets screens out, at once.
func (h entrance) revoke(w http.ResponseWriter, r *http.Request) {
	var q revokeRequest
	if err := read(w, r, &q); err != nil {
		refuseBody(w, err)
		return
	}
	if (q.ID == "") != q.All {
		refuse(w, http.StatusBadRequest, "usage", "say the id of one screen, or all")
		return
	}
	n, err := h.server.screens.revoke(q.ID)
	switch {
	case err != nil:
		fail(w, err, keep.Status{})
	case n == 0 && !q.All:
		refuse(w, http.StatusNotFound, "unknown-screen", phrase.Put("no screen {id} is let in", "id", printable(q.ID)))
	default:
		answer(w, http.StatusOK, revoked{n})
	}
}

// inside is the base address by which a browser on this machine reaches the
// server: with a certificate it is by the name that stands in that.
func (s *Server) inside() string {
	if s.certificate != nil && len(s.options.Hosts) > 0 {
		return s.outside()
	}
	return s.address
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
