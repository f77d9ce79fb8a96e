package serve

import (
	"net/http"

	"bayhand/model/phrase"
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
		{"GET", healthPath, RoleUnknown, api{s}.health},
		{"GET", "/metrics", Look, api{s}.metrics},
		{"GET", "/api/openapi.json", Look, api{s}.described},
		{"GET", "/api/health", Look, api{s}.roomHealth},
		{"GET", "/api/status", Look, api{s}.status},
		{"GET", "/api/events", Look, api{s}.events},
		{"GET", "/api/history", Look, api{s}.history},
		{"POST", "/api/prune", Recall, api{s}.prune},
		{"POST", "/api/invite", Recall, entrance{s}.invite},
		{"GET", "/api/screens", Recall, entrance{s}.listScreens},
		{"POST", "/api/revoke", Recall, entrance{s}.revoke},
		{"POST", "/api/act", Tick, api{s}.act}, // what needs more is refused there
	}
}

// Handler is everything that the server answers.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	for _, r := range s.routes() {
		handler := r.answer
		switch {
		case r.method == http.MethodGet && r.role == Look:
			handler = guard{s}.seen(handler)
		case r.role != RoleUnknown:
			handler = guard{s}.open(r.role, handler)
		}
		mux.HandleFunc(r.method+" "+r.path, handler)
	}
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, "unknown-request", phrase.Put("nothing is answered to {request}", "request", printable(r.Method+" "+r.URL.Path)))
	})
	mux.HandleFunc("GET "+invitePath, entrance{s}.invitation)
	mux.HandleFunc("POST "+invitePath, entrance{s}.accept)
	mux.HandleFunc("GET "+enterPath, entrance{s}.accept)
	if s.options.Page != nil {
		mux.Handle("/", s.page())
	}
	return guard{s}.guard(guard{s}.limited(guard{s}.gated(mux)))
}

// api answers what is asked of the room.
type api struct{ server *Server }

// gated bounds the streams of whoever asks.
func (h guard) gated(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		next.ServeHTTP(w, r.WithContext(web.Gated(r.Context(), gate{h.server, r})))
	})
}

func (h api) status(w http.ResponseWriter, r *http.Request) {
	status, err := h.server.room.Status(r.Context())
	if err != nil {
		fail(w, err, keep.Status{})
		return
	}
	answer(w, http.StatusOK, status)
}

// page hands a request to the page, with who asks, what he may do and the token
// that his forms need, so that nobody may do more by the page than without. What
// changes something needs a role, and the page itself the token in its form.
func (s *Server) page() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if (entrance{s}).enter(w, r) {
			return
		}
		g := guard{s}.guest(r)
		if g.role == RoleUnknown {
			guard{s}.refuseToken(w, r)
			return
		}
		needs, err := pageRole(w, r)
		switch {
		case err != nil:
			refuseBody(w, err)
			return
		case g.role < needs:
			guard{s}.turnAway(w, r, http.StatusForbidden, "role", phrase.Put("this screen may {role}; this request is for one that may {other}", "role", g.role.Words(), "other", needs.Words()))
			return
		}
		r = r.Clone(r.Context())
		r.Header.Set(web.TokenHeader, g.token)
		r.Header.Set(web.WhoHeader, g.who)
		r.Header.Set(web.RoleHeader, g.role.String())
		if g.role >= Recall {
			r = r.WithContext(web.WithDoors(r.Context(), doors{s, g.screen}))
		}
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
	if r.URL.Path == "/draw" {
		return Recall, nil // a whole file comes in its form, which the page bounds itself
	}
	r.Body = http.MaxBytesReader(w, r.Body, mostBody)
	if err := r.ParseForm(); err != nil {
		return RoleUnknown, err
	}
	if !plain(r.PostForm.Get("session")) {
		return RoleUnknown, errPath
	}
	if r.URL.Path != "/do" {
		return Recall, nil
	}
	do := r.PostForm.Get("do")
	if _, is := keep.ActKindOf(keep.Deed(do)); is {
		return roleOf(keep.Deed(do)), nil
	}
	if do == "set" || do == "unset" || do == "silence" {
		return Tick, nil
	}
	return Recall, nil
}
