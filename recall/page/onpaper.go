package page

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"strings"
	"time"
)

// Paper makes a paper of the room as a PDF: wall, form, strips or schedule, or with
// recall the sheet of a session. Address is where the page is, for the picture that a
// camera reads. ErrNoPaper is for one that is not there.
type Paper func(ctx context.Context, kind, session, address string) ([]byte, error)

// ErrNoPaper is a paper, or a session, that is not there.
var ErrNoPaper = errors.New("there is no such paper")

// showPaper answers /paper/wall.pdf, and /paper/recall/tern-mix-2.pdf.
func (p *page) showPaper(w http.ResponseWriter, r *http.Request) {
	if p.Paper == nil {
		http.NotFound(w, r)
		return
	}
	kind, session := "recall", r.PathValue("session")
	if session == "" {
		kind = strings.TrimSuffix(r.PathValue("kind"), ".pdf")
	}
	session = strings.TrimSuffix(session, ".pdf")
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	made, err := p.Paper(r.Context(), kind, session, scheme+r.Host)
	switch {
	case errors.Is(err, ErrNoPaper):
		http.NotFound(w, r)
		return
	case err != nil:
		http.Error(w, "the paper could not be made: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Cache-Control", "no-store")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(made))
}
