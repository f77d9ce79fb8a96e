package serve

import (
	"crypto/subtle"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/google/renameio/v2/maybe"

	"bayhand/recall/web"
)

// Role is what somebody may do; each role may do what those before it may.
type Role uint8

// The roles.
const (
	RoleUnknown Role = iota
	Look             // see the room and its history
	Tick             // say what was plugged, pulled, moved or is faulty
	Recall           // ask for sessions, and forget history
)

// String is the role's word.
func (r Role) String() string {
	switch r {
	case Look:
		return "look"
	case Tick:
		return "tick"
	case Recall:
		return "recall"
	case RoleUnknown:
	}
	return "unknown"
}

// MarshalText writes the role's word.
func (r Role) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the role's word.
func (r *Role) UnmarshalText(text []byte) error {
	for _, role := range []Role{Look, Tick, Recall} {
		if string(text) == role.String() {
			*r = role
			return nil
		}
	}
	return fmt.Errorf("%q is no role; write look, tick or recall", printable(string(text)))
}

// Access are the tokens of the roles; an empty one opens nothing. They stay the
// same over restarts, so that a tablet on the wall goes on.
type Access struct {
	Look   string `json:"look"`
	Tick   string `json:"tick"`
	Recall string `json:"recall"`
}

// token is the one of a role; empty for none.
func (a Access) token(r Role) string {
	switch r {
	case Look:
		return a.Look
	case Tick:
		return a.Tick
	case Recall:
		return a.Recall
	case RoleUnknown:
	}
	return ""
}

// AccessFile is the name of the file of tokens in a state folder.
const AccessFile = "access.json"

// ReadAccess reads the tokens of a state folder, or makes new ones where there
// are none, for the folder's owner only (mode 0600).
func ReadAccess(folder string) (Access, error) {
	file := filepath.Join(folder, AccessFile)
	text, err := os.ReadFile(file)
	if errors.Is(err, fs.ErrNotExist) {
		made := Access{Look: newToken(), Tick: newToken(), Recall: newToken()}
		text, err := json.MarshalIndent(made, "", "  ")
		if err != nil {
			return Access{}, err
		}
		return made, maybe.WriteFile(file, append(text, '\n'), 0o600)
	}
	if err != nil {
		return Access{}, err
	}
	var a Access
	if err := json.Unmarshal(text, &a); err != nil {
		return Access{}, fmt.Errorf("%s makes no sense: %w; take it away to have new tokens made", file, err)
	}
	return a, nil
}

// role is what a token opens.
func (s *Server) role(token string) Role {
	for _, c := range []struct {
		token string
		role  Role
	}{
		{s.token, Recall}, {s.pageToken, Recall}, {s.options.Access.Recall, Recall}, {s.options.Access.Tick, Tick}, {s.options.Access.Look, Look},
	} {
		if c.token != "" && subtle.ConstantTimeCompare([]byte(token), []byte(c.token)) == 1 {
			return c.role
		}
	}
	return RoleUnknown
}

// isOwn says whether a token is that of this machine's commands, which only the
// owner of the state folder can read.
func (s *Server) isOwn(token string) bool {
	return subtle.ConstantTimeCompare([]byte(token), []byte(s.token)) == 1
}

// LookCookie holds the token of a browser that was let in by an address with
// ?token=. It opens nothing but looking, which no other site can make use of:
// what changes something needs the token in a header or in the form as well.
const LookCookie = "bayhand-look"

// looker is the token by which a request may look: the header's, else the
// cookie's.
func looker(r *http.Request) string {
	if token := headerToken(r); token != "" {
		return token
	}
	if c, err := r.Cookie(LookCookie); err == nil {
		return c.Value
	}
	return ""
}

// mayLook lets everybody on this machine look, and elsewhere those with a token.
func (s *Server) mayLook(r *http.Request) bool {
	return s.hosts.loopback || s.role(looker(r)) >= Look
}

// enter lets a browser in that comes by an address with the token, and takes the
// token out of the address, where it would stay in the browser's history.
func (s *Server) enter(w http.ResponseWriter, r *http.Request) bool {
	token := r.URL.Query().Get("token")
	if r.Method != http.MethodGet || token == "" || s.role(token) < Look {
		return false
	}
	s.let(w, token)
	web.BoundWriting(w)
	w.Header().Set("Location", r.URL.Path)
	w.WriteHeader(http.StatusSeeOther)
	return true
}

// let gives a browser the cookie by which it may look.
func (s *Server) let(w http.ResponseWriter, token string) {
	http.SetCookie(w, &http.Cookie{
		Name: LookCookie, Value: token, Path: "/", HttpOnly: true, Secure: s.mark != "", SameSite: http.SameSiteStrictMode,
		MaxAge: int((365 * 24 * time.Hour).Seconds()),
	})
}
