package serve

import (
	"net"
	"net/http"
	"net/netip"
	"strings"

	"bayhand/model/phrase"
	"bayhand/recall/web"
)

// guest is who a request is from, as far as it shows that.
type guest struct {
	role Role
	// own is one of this machine's commands, which have the token of the entry.
	own bool
	// sure is true where the request carries what no browser sends by itself.
	sure bool
	// who is the name in the history.
	who string
	// screen is the one that was let in; empty for others.
	screen string
	// token is what the page puts into its forms for the guest.
	token string
}

// guest finds out who a request is from. A token in a header goes before a cookie.
func (h guard) guest(r *http.Request) guest {
	token := headerToken(r)
	if found, ok := h.byCookie(r, token); ok {
		return found
	}
	role, own := h.server.role(token)
	g := guest{role: role, own: own, sure: true, token: token, who: phrase.Put("somebody at {address}", "address", hostOf(r))}
	switch said := r.Header.Get(web.WhoHeader); {
	case own && said != "":
		g.who = printable(web.TextOf(said)) // who has the entry's token may do it in any name
	case role != RoleUnknown && !own:
		g.who = phrase.Put("somebody with the token to {role}, at {address}", "role", role.String(), "address", hostOf(r))
	}
	return g
}

// byCookie is the guest of a browser that was let in. A request that carries
// another token is not a browser's.
func (h guard) byCookie(r *http.Request, token string) (guest, bool) {
	cookie, err := r.Cookie(h.cookieName())
	if err != nil {
		return guest{}, false
	}
	found, ok := h.server.screens.find(cookie.Value)
	if !ok || !h.sameUser(r, found.User) || found.Token != "" && !h.server.holds(found.Token) {
		return guest{}, false
	}
	form := keyed(cookie.Value, "bayhand form")
	if token != "" && !same(token, form) {
		return guest{}, false
	}
	return guest{role: found.Role, sure: token != "", who: found.Who, token: form, screen: found.ID}, true
}

// cookieName binds the cookie to this daemon, and with TLS to this host and to
// TLS (RFC 6265bis, 4.1.3.2).
func (h guard) cookieName() string {
	if h.server.certificate != nil {
		return "__Host-bayhand-" + h.server.screens.Daemon
	}
	return "bayhand-" + h.server.screens.Daemon
}

// let gives a browser the cookie of a session of its own.
func (h entrance) let(w http.ResponseWriter, r *http.Request, one letIn) {
	if one.Who == "" {
		one.Who = phrase.Put("a screen at {address}", "address", hostOf(r))
	}
	one.User = userOf(r)
	cookie, err := h.server.screens.add(one)
	if err != nil {
		h.server.options.Log.Warn(err.Error())
	}
	http.SetCookie(w, &http.Cookie{
		Name: guard(h).cookieName(), Value: cookie, Path: "/", HttpOnly: true, Secure: h.server.certificate != nil, SameSite: http.SameSiteLaxMode,
		MaxAge: int(screenTime.Seconds()),
	})
}

// sameUser says whether a cookie comes from the user of this machine to whose
// browser it was given. A cookie goes to every port of a host, so that another
// user with a server there may see it; it is of no use to him.
func (h guard) sameUser(r *http.Request, user string) bool {
	if user == "" || userOf(r) == user {
		return true
	}
	h.server.options.Log.Warn("a cookie of another user of this machine", "who", hostOf(r))
	return false
}

// headerToken is the token that a request carries in a header.
func headerToken(r *http.Request) string {
	if bearer, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); ok {
		return bearer
	}
	return r.Header.Get(web.TokenHeader)
}

// hostOf is the address that a request comes from.
func hostOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// machineOf is what counts as one machine: each user of the loopback, so that none
// takes another's share, each address of IPv4, and a network of 64 bits of IPv6, in
// which a machine has as many addresses as it likes (RFC 4291, 2.5.4).
func machineOf(r *http.Request) string {
	at, err := netip.ParseAddr(hostOf(r))
	if err != nil {
		return hostOf(r)
	}
	at = at.Unmap()
	if at.IsLoopback() {
		return "loopback " + userOf(r)
	}
	if at.Is6() {
		if network, err := at.WithZone("").Prefix(64); err == nil {
			return network.String()
		}
	}
	return at.String()
}
