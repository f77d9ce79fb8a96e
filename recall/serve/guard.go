package serve

import (
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"

	"bayhand/recall/web"
)

// hosts are the names by which a request may call this machine.
type hosts struct {
	loopback bool
	names    []string
}

func hostsOf(at *net.TCPAddr, names []string) hosts {
	return hosts{loopback: at.IP.IsLoopback(), names: names}
}

// own says whether a Host header calls this machine by a name that no other site
// can have. An address is nobody's name: a site that points its own name here
// still sends that name.
func (h hosts) own(host string) bool {
	if bare, _, err := net.SplitHostPort(host); err == nil {
		host = bare
	}
	host = strings.ToLower(strings.Trim(host, "[]"))
	if host == "localhost" || slices.Contains(h.names, host) {
		return true
	}
	address, err := netip.ParseAddr(host)
	return err == nil && (address.IsLoopback() || !h.loopback)
}

// guard refuses foreign hosts and origins before anything else is looked at.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		header := w.Header()
		header.Set("X-Content-Type-Options", "nosniff")
		header.Set("X-Frame-Options", "DENY")
		header.Set("Referrer-Policy", "no-referrer")
		header.Set("Cache-Control", "no-store")
		switch {
		case !s.hosts.own(r.Host):
			refuse(w, http.StatusForbidden, "foreign-host", "this machine is not called "+printable(r.Host)+"; use its address or localhost")
		case !sameOrigin(r):
			refuse(w, http.StatusForbidden, "foreign-origin", "requests of other sites are not answered")
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// sameOrigin says whether a browser sent the request for this site, or no
// browser did. A link on another site may lead to the page, and to nothing else.
func sameOrigin(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" {
		u, err := url.Parse(origin)
		if err != nil || u.Scheme != "http" && u.Scheme != "https" || !strings.EqualFold(u.Host, r.Host) {
			return false
		}
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return true
	}
	return r.Method == http.MethodGet && r.Header.Get("Sec-Fetch-Mode") == "navigate" && !strings.HasPrefix(r.URL.Path, "/api/")
}

// headerToken is the token that a request carries in a header.
func headerToken(r *http.Request) string {
	if bearer, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); ok {
		return bearer
	}
	return r.Header.Get(web.TokenHeader)
}

// open lets through what carries a token of the role or a higher one.
func (s *Server) open(role Role, next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		switch has := s.role(headerToken(r)); {
		case has == RoleUnknown:
			s.refuseToken(w)
		case has < role:
			refuse(w, http.StatusForbidden, "role", "this token may "+has.String()+"; what was asked needs one that may "+role.String())
		default:
			next(w, r)
		}
	}
}

// seen lets through who may look.
func (s *Server) seen(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if !s.mayLook(r) {
			s.refuseToken(w)
			return
		}
		next(w, r)
	}
}

func (s *Server) refuseToken(w http.ResponseWriter) {
	w.Header().Set("WWW-Authenticate", `Bearer realm="bayhand"`)
	refuse(w, http.StatusUnauthorized, "token", "the token is missing or is not this daemon's; load the page again, open "+invitePath+" with a code, or let the command find it in "+EntryFile)
}

// printable keeps what a stranger sent from doing anything to a terminal.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, text[:min(len(text), 100)])
}
