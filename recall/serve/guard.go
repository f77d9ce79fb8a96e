package serve

import (
	"net"
	"net/http"
	"net/netip"
	"net/url"
	"slices"
	"strings"
	"unicode"

	"bayhand/model/phrase"
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

// guard says who may come through, and notes who did.
type guard struct{ server *Server }

// guard refuses foreign hosts and origins before anything else is looked at.
func (h guard) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		header := w.Header()
		header.Set("X-Content-Type-Options", "nosniff")
		header.Set("X-Frame-Options", "DENY")
		header.Set("Referrer-Policy", "no-referrer")
		header.Set("Cache-Control", "no-store")
		// No page of another site may load it as a part of its own, nor hold on to its
		// window (HTML Standard, 7.1.3; Fetch Standard, 3.7).
		header.Set("Cross-Origin-Resource-Policy", "same-origin")
		if h.server.certificate != nil || h.server.hosts.loopback {
			header.Set("Cross-Origin-Opener-Policy", "same-origin") // others would be told that it is ignored
		}
		switch {
		case !h.server.hosts.own(r.Host):
			h.refuseForeign(w, r, "foreign-host", phrase.Put("this machine is not called {host}; use its address or localhost", "host", printable(r.Host)))
		case !sameOrigin(r):
			h.refuseForeign(w, r, "foreign-origin", "requests of other sites are not answered")
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// refuseForeign refuses a request of another site. Such requests are counted apart: a
// site that sends thousands through somebody's browser takes nothing from what the
// person may ask.
func (h guard) refuseForeign(w http.ResponseWriter, r *http.Request, code, message string) {
	w.Header().Set("Connection", "close") // nothing more of it is read
	if !h.server.limits.foreign(machineOf(r)) {
		tooMany(w)
		return
	}
	h.server.options.Log.Warn("refused", "method", printable(r.Method), "path", printable(r.URL.Path), "status", http.StatusForbidden, "why", code)
	refuse(w, http.StatusForbidden, code, message)
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

// open lets through who has the role or a higher one, and shows it by what no
// browser sends by itself.
func (h guard) open(role Role, next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		switch g := h.guest(r); {
		case g.role == RoleUnknown || !g.sure:
			h.refuseToken(w, r)
		case g.role < role:
			h.turnAway(w, r, http.StatusForbidden, "role", phrase.Put("this token may {role}; this request needs one that may {other}", "role", g.role.String(), "other", role.String()))
		default:
			next(w, r)
		}
	}
}

// seen lets through who may look.
func (h guard) seen(next http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if h.guest(r).role < Look {
			h.refuseToken(w, r)
			return
		}
		next(w, r)
	}
}

func (h guard) refuseToken(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Connection", "close") // nobody waits for a body of who is not let in
	}
	if h.byBrowser(r) {
		entrance(h).welcome(w, http.StatusUnauthorized, invited{})
		return
	}
	w.Header().Set("WWW-Authenticate", `Bearer realm="bayhand"`)
	h.turnAway(w, r, http.StatusUnauthorized, "token", phrase.Put("the token is missing or is not this daemon's; let the command find it in {file}, or have a browser let in: {how}", "file", EntryFile, "how", entrance(h).wayIn()))
}

// byBrowser says whether a person is to read the answer.
func (h guard) byBrowser(r *http.Request) bool {
	return strings.Contains(r.Header.Get("Accept"), "text/html") && !strings.HasPrefix(r.URL.Path, "/api/")
}

// turnAway refuses in the way that was asked: as a page to a person, as a line to
// the page's script, as JSON to a program.
func (h guard) turnAway(w http.ResponseWriter, r *http.Request, status int, code, message string) {
	switch {
	case h.byBrowser(r):
		entrance(h).welcome(w, status, invited{Refused: message})
	case r.Header.Get("Accept") == "text/plain":
		web.BoundWriting(w)
		http.Error(w, message, status)
	default:
		refuse(w, status, code, message)
	}
}

// printable keeps what a stranger sent from doing anything to a terminal: letters and signs of
// any script stay, but none that steers it or turns the direction of what follows.
func printable(text string) string {
	runes := []rune(strings.ToValidUTF8(text, "?"))
	for i, r := range runes {
		if !unicode.IsPrint(r) {
			runes[i] = '?'
		}
	}
	return string(runes[:min(len(runes), 100)])
}
