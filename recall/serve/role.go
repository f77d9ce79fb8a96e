package serve

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"

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

// Words are what the role may do, after "may".
func (r Role) Words() string {
	switch r {
	case Look:
		return "look"
	case Tick:
		return "tick steps"
	case Recall:
		return "recall sessions"
	case RoleUnknown:
	}
	return "do nothing"
}

// may is what the role may do as a phrase for a person at a screen; empty for nothing.
func (r Role) may() string {
	switch r {
	case Look:
		return "see the room, and change nothing"
	case Tick:
		return "tick steps and report plugs"
	case Recall:
		return "recall sessions, and all else"
	case RoleUnknown:
	}
	return ""
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
	a, err := readAccess(file)
	if errors.Is(err, fs.ErrNotExist) {
		made := Access{Look: newToken(), Tick: newToken(), Recall: newToken()}
		text, err := json.MarshalIndent(made, "", "  ")
		if err != nil {
			return Access{}, err
		}
		return made, maybe.WriteFile(file, append(text, '\n'), 0o600)
	}
	return a, err
}

func readAccess(file string) (Access, error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return Access{}, err
	}
	var a Access
	if err := json.Unmarshal(text, &a); err != nil {
		return Access{}, fmt.Errorf("%s makes no sense: %w; take it away to have new tokens made", file, err)
	}
	return a, nil
}

// AccessIn reads the tokens of a state folder as they are now. A file that is gone
// opens nothing.
func AccessIn(folder string) func() (Access, error) {
	return func() (Access, error) {
		a, err := readAccess(filepath.Join(folder, AccessFile))
		if errors.Is(err, fs.ErrNotExist) {
			return Access{}, nil
		}
		return a, err
	}
}

// access are the tokens as they are now. A file that cannot be read opens nothing,
// and is told once.
func (s *Server) access() Access {
	if s.options.Access == nil {
		return Access{}
	}
	a, err := s.options.Access()
	said := ""
	if err != nil {
		a, said = Access{}, err.Error()
	}
	if before := s.accessError.Swap(&said); said != "" && (before == nil || *before != said) {
		s.options.Log.Error("no token of a program is taken", "why", said)
	}
	return a
}

// role is what a token opens, and whether it is that of this machine's commands,
// which only the owner of the state folder can read.
func (s *Server) role(token string) (role Role, own bool) {
	if token == "" {
		return RoleUnknown, false
	}
	if same(token, s.token) {
		return Recall, true
	}
	access := s.access()
	for _, role := range []Role{Recall, Tick, Look} {
		if one := access.token(role); one != "" && same(token, one) {
			return role, false
		}
	}
	return RoleUnknown, false
}

// holds says whether a token with this sum still stands in access.json.
func (s *Server) holds(sum string) bool {
	access := s.access()
	for _, role := range []Role{Recall, Tick, Look} {
		if one := access.token(role); one != "" && same(sumOf(one), sum) {
			return true
		}
	}
	return false
}

// enter lets a browser in that comes by an address with a token of access.json,
// and takes the token out of the address, where it would stay in the browser's
// history.
func (h entrance) enter(w http.ResponseWriter, r *http.Request) bool {
	token := r.URL.Query().Get("token")
	if r.Method != http.MethodGet || token == "" {
		return false
	}
	role, own := h.server.role(token)
	if role < Look || own {
		return false
	}
	h.let(w, r, letIn{Screen: Screen{Role: role}, Token: sumOf(token)})
	web.BoundWriting(w)
	w.Header().Set("Location", here(r.URL.Path))
	w.WriteHeader(http.StatusSeeOther)
	return true
}

// here is where a browser goes on this server; the bay in the place of what is
// none of its addresses.
func here(address string) string {
	if own, ok := web.Here(address); ok {
		return own
	}
	return "/"
}
