package serve

import (
	"context"
	"net"
	"net/http"
	"os"

	"bayhand/recall/keep"
)

// Handler is everything that the server answers.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /health", s.health)
	mux.HandleFunc("GET /api/status", s.status)
	mux.HandleFunc("GET /api/events", s.events)
	mux.HandleFunc("GET /api/history", s.history)
	mux.HandleFunc("POST /api/recall", s.open(change(func(ctx context.Context, q recallRequest) (keep.Status, error) {
		return s.room.Recall(ctx, q.Session, q.RecallOptions)
	})))
	mux.HandleFunc("POST /api/strip", s.open(change(func(ctx context.Context, q stripRequest) (keep.Status, error) {
		return s.room.Strip(ctx, q.Now)
	})))
	mux.HandleFunc("POST /api/undo", s.open(change(func(ctx context.Context, _ struct{}) (keep.Status, error) {
		return s.room.Undo(ctx)
	})))
	mux.HandleFunc("POST /api/tick", s.open(change(s.room.Tick)))
	mux.HandleFunc("POST /api/prune", s.open(s.prune))
	s.routeBay(mux)
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusNotFound, "unknown-request", "nothing is answered to "+printable(r.Method+" "+r.URL.Path))
	})
	if s.options.Page != nil {
		mux.Handle("/", s.page())
	}
	return s.guard(mux)
}

func (s *Server) routeBay(mux *http.ServeMux) {
	mux.HandleFunc("POST /api/plug", s.open(change(func(ctx context.Context, q endsRequest) (keep.Status, error) {
		return s.room.Plug(ctx, q.A, q.B)
	})))
	mux.HandleFunc("POST /api/pull", s.open(change(func(ctx context.Context, q endsRequest) (keep.Status, error) {
		return s.room.Pull(ctx, q.A)
	})))
	mux.HandleFunc("POST /api/move", s.open(change(func(ctx context.Context, q endsRequest) (keep.Status, error) {
		return s.room.Move(ctx, q.A, q.B)
	})))
	mux.HandleFunc("POST /api/tag", s.open(change(func(ctx context.Context, q tagRequest) (keep.Status, error) {
		return s.room.Tag(ctx, q.Jack, q.Faulty)
	})))
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

type health struct {
	Studio string `json:"studio"`
	PID    int    `json:"pid"`
	// Proof shows that the server knows the entry's token.
	Proof string `json:"proof"`
}

func (s *Server) health(w http.ResponseWriter, _ *http.Request) {
	answer(w, http.StatusOK, health{Studio: s.options.Studio, PID: os.Getpid(), Proof: proof(s.token)})
}

// page hands a request to the page, with the token that the page's own requests
// need.
func (s *Server) page() http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r = r.Clone(r.Context())
		r.Header.Set(TokenHeader, s.token)
		soon(w)
		s.options.Page.ServeHTTP(w, r)
	})
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
