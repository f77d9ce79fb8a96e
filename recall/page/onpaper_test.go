package page

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// Papers are made anew for whoever asks, and what is not there is not found.
func TestPapers(t *testing.T) {
	var asked []string
	p := &page{read: true, Options: Options{Paper: func(_ context.Context, kind, session, address string) ([]byte, error) {
		asked = append(asked, strings.TrimSpace(kind+" "+session+" "+address))
		if kind == "nothing" {
			return nil, ErrNoPaper
		}
		return []byte("%PDF-"), nil
	}}}
	mux := http.NewServeMux()
	mux.HandleFunc("GET /paper/{kind}", p.showPaper)
	mux.HandleFunc("GET /paper/{kind}/{session}", p.showPaper)
	for path, want := range map[string]int{"/paper/wall.pdf": 200, "/paper/recall/tern.pdf": 200, "/paper/nothing.pdf": 404} {
		w := httptest.NewRecorder()
		mux.ServeHTTP(w, httptest.NewRequest("GET", "http://bay.local"+path, nil))
		if w.Code != want {
			t.Errorf("%s is answered with %d", path, w.Code)
		}
		if want == 200 && w.Header().Get("Content-Type") != "application/pdf" {
			t.Errorf("%s is %s", path, w.Header().Get("Content-Type"))
		}
	}
	if text := strings.Join(asked, ", "); !strings.Contains(text, "recall tern http://bay.local") || !strings.Contains(text, "wall ") {
		t.Errorf("asked for %s", text)
	}
}
