package serve

import (
	"net"
	"net/http"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// route is one request that is answered, and who may ask it; RoleUnknown is
// anybody.
type route struct {
	method, path string
	role         Role
	answer       http.HandlerFunc
}

// routes are all that the API answers.
func (s *Server) routes() []route {
	return []route{
		{"GET", healthPath, RoleUnknown, s.health},
		{"GET", "/metrics", Look, s.metrics},
		{"GET", "/api/openapi.json", Look, s.described},
		{"GET", "/api/health", Look, s.roomHealth},
		{"GET", "/api/status", Look, s.status},
		{"GET", "/api/events", Look, s.events},
		{"GET", "/api/history", Look, s.history},
		{"POST", "/api/prune", Recall, s.prune},
		{"POST", "/api/invite", Recall, s.invite},
		{"POST", "/api/act", Tick, s.act}, // what needs more is refused there
	}
}

// Handler is everything that the server answers.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	for _, r := range s.routes() {
		handler := r.answer
		switch {
		case r.method == http.MethodGet && r.role == Look:
			handler = s.seen(handler)
		case r.role != RoleUnknown:
			handler = s.open(r.role, handler)
		}
		mux.HandleFunc(r.method+" "+r.path, handler)
	}
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, "unknown-request", "nothing is answered to "+printable(r.Method+" "+r.URL.Path))
	})
	mux.HandleFunc("GET "+invitePath, s.invitation)
	mux.HandleFunc("POST "+invitePath, s.accept)
	if s.options.Page != nil {
		mux.Handle("/", s.page())
	}
	return s.guard(s.limited(mux))
}

func (s *Server) status(w http.ResponseWriter, r *http.Request) {
	status, err := s.room.Status(r.Context())
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	answer(w, http.StatusOK, status)
}

// page hands a request to the page, with the token that the page's own requests
// need: that of who looks, so that nobody may do more by the page than without.
// What changes something needs a role, and the page itself the token in its form.
func (s *Server) page() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if s.enter(w, r) {
			return
		}
		token := s.pageToken
		if !s.hosts.loopback {
			token = looker(r)
		}
		has := s.role(token)
		if has == RoleUnknown {
			s.refuseToken(w)
			return
		}
		needs, err := pageRole(w, r)
		switch {
		case err != nil:
			refuseBody(w, err)
			return
		case has < needs:
			refuse(w, http.StatusForbidden, "role", "this screen may "+has.String()+"; what was asked needs one that may "+needs.String())
			return
		}
		r = r.Clone(r.Context())
		r.Header.Set(web.TokenHeader, token)
		web.BoundWriting(w)
		s.options.Page.ServeHTTP(w, r)
	})
}

// pageRole is what a request to the page needs: to look, Look; to tell of the
// bay, Tick; for any other form, Recall. The form stays read for the page.
func pageRole(w http.ResponseWriter, r *http.Request) (Role, error) {
	if r.Method == http.MethodGet || r.Method == http.MethodHead {
		return Look, nil
	}
	r.Body = http.MaxBytesReader(w, r.Body, mostBody)
	if err := r.ParseForm(); err != nil {
		return RoleUnknown, err
	}
	if !plain(r.PostForm.Get("session")) {
		return RoleUnknown, errPath
	}
	do := r.PostForm.Get("do")
	if _, is := keep.ActKindOf(keep.Deed(do)); is {
		return roleOf(keep.Deed(do)), nil
	}
	if do == "set" || do == "unset" {
		return Tick, nil
	}
	return Recall, nil
}

// who asks, as far as the request says: a name, or where it came from.
func who(r *http.Request) string {
	if who := r.Header.Get(whoHeader); who != "" {
		return printable(who)
	}
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return ""
	}
	return "somebody at " + host
}
