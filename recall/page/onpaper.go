package page

import (
	"bayhand/recall/words"
	"bytes"
	"context"
	"errors"
	"net/http"
	"strings"
	"time"
)

// Paper makes a paper of the room as a PDF: cords, wall, form, strips, rear-strips,
// schedule, wraps, levels, before or yearly; of a session recall, levels or strips. Address is where the page is, for the picture that a
// camera reads. ErrNoPaper is for one that is not there.
type Paper func(ctx context.Context, kind, session, address string) ([]byte, error)

// ErrNoPaper is a paper, or a session, that is not there.
var ErrNoPaper = errors.New("there is no such paper")

// paperLink leads to a paper.
type paperLink struct{ Href, Text string }

// PaperLinks are the papers of the room; none where no paper is made, or on a practice
// copy.
func (f *frame) PaperLinks() []paperLink {
	if !f.Papers || f.Unread || f.Practice {
		return nil
	}
	links := []paperLink{
		{"/paper/cords.pdf", "Steps left"}, {"/paper/wall.pdf", "Wall sheet"}, {"/paper/form.pdf", "Form to fill in"}, {"/paper/strips.pdf", "Label strips"},
		{"/paper/rear-strips.pdf", "Strips for the rear"}, {"/paper/schedule.pdf", "Cable schedule"}, {"/paper/wraps.pdf", "Wraps for cables"},
		{"/paper/levels.pdf", "Levels in the rest patch"},
	}
	if f.Ears {
		links = append(links, paperLink{"/paper/before.pdf", "Two minutes before the band comes"}, paperLink{"/paper/yearly.pdf", "Sheet of the year"})
	}
	return links
}

// papersOf are those of a session.
func papersOf(session string) []paperLink {
	of := func(kind string) string { return "/paper/" + kind + "/" + session + ".pdf" }
	return []paperLink{{of("recall"), "Recall sheet to print"}, {of("levels"), "Gain plan to print"}, {of("strips"), "Strips with its lines"}}
}

// showPaper answers /paper/wall.pdf, and /paper/recall/tern-mix-2.pdf.
func (p *page) showPaper(w http.ResponseWriter, r *http.Request) {
	if p.Paper == nil {
		http.NotFound(w, r)
		return
	}
	kind := strings.TrimSuffix(r.PathValue("kind"), ".pdf")
	session := strings.TrimSuffix(r.PathValue("session"), ".pdf")
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
		http.Error(w, words.Put("the paper could not be made: {reason}", "reason", err.Error()), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Cache-Control", "no-store")
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(made))
}
