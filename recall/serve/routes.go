package serve

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"strings"
	"unicode"

	"bayhand/recall/keep"
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
	return append([]route{
		{"GET", healthPath, RoleUnknown, s.health},
		{"GET", "/metrics", Look, s.metrics},
		{"GET", "/api/openapi.json", Look, s.described},
		{"GET", "/api/health", Look, s.roomHealth},
		{"GET", "/api/status", Look, s.status},
		{"GET", "/api/events", Look, s.events},
		{"GET", "/api/history", Look, s.history},
		{"POST", "/api/prune", Recall, s.prune},
		{"POST", "/api/invite", Recall, s.invite},
		{"POST", "/api/recall", Recall, s.recall},
		{"POST", "/api/strip", Recall, change(func(ctx context.Context, q stripRequest) (keep.Status, error) {
			return s.room.Strip(ctx, q.Now)
		})},
		{"POST", "/api/undo", Recall, change(func(ctx context.Context, _ struct{}) (keep.Status, error) {
			return s.room.Undo(ctx)
		})},
	}, s.bayRoutes()...)
}

// bayRoutes are what a person says of the bay.
func (s *Server) bayRoutes() []route {
	return []route{
		{"POST", "/api/tick", Tick, change(s.room.Tick)},
		{"POST", "/api/plug", Tick, change(func(ctx context.Context, q endsRequest) (keep.Status, error) {
			return s.room.Plug(ctx, q.A, q.B)
		})},
		{"POST", "/api/pull", Tick, change(func(ctx context.Context, q endsRequest) (keep.Status, error) {
			return s.room.Pull(ctx, q.A)
		})},
		{"POST", "/api/move", Tick, change(func(ctx context.Context, q endsRequest) (keep.Status, error) {
			return s.room.Move(ctx, q.A, q.B)
		})},
		{"POST", "/api/tag", Tick, change(func(ctx context.Context, q tagRequest) (keep.Status, error) {
			return s.room.Tag(ctx, q.Jack, q.Faulty)
		})},
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

// recall lets only this machine's commands call a session by the path of a file:
// they show by the token of the entry that they may read that folder anyhow. The
// page's token, which anybody on this machine can see, is not enough.
func (s *Server) recall(w http.ResponseWriter, r *http.Request) {
	own := s.isOwn(headerToken(r))
	change(func(ctx context.Context, q recallRequest) (keep.Status, error) {
		if !own && !plain(q.Session) {
			return keep.Status{}, errPath
		}
		return s.room.Recall(ctx, q.Session, q.RecallOptions)
	})(w, r)
}

var errPath = fmt.Errorf("%w: a session is called by its name here, and not by a path", keep.ErrUsage)

// plain says whether a session is called by a name that cannot lead out of the
// folder of sessions.
func plain(session string) bool {
	return !strings.ContainsAny(session, `/\:`) && !strings.HasPrefix(session, ".") && !strings.HasSuffix(session, ".yaml") &&
		!strings.ContainsFunc(session, unicode.IsControl)
}

// change is a handler that reads a request, does it and answers with the status.
func change[T any](do func(context.Context, T) (keep.Status, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var request T
		if err := read(w, r, &request); err != nil {
			refuseBody(w, err)
			return
		}
		patient(w)
		status, err := do(keep.As(r.Context(), who(r)), request)
		if err != nil {
			fail(w, err, status)
			return
		}
		answer(w, http.StatusOK, status)
	}
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
		r.Header.Set(TokenHeader, token)
		soon(w)
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
	switch r.PostForm.Get("do") {
	case "tick", "not", "plug", "move", "pull", "faulty", "sound", "set", "unset":
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
