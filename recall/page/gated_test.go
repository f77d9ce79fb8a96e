package page

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"bayhand/recall/web"
)

// full is a gate that lets no further stream open.
type full struct{}

func (full) Open() (func(), bool) { return nil, false }
func (full) Stays() bool          { return true }

// A browser that asks for one stream too many is told so, and holds nothing.
func TestChangesAreBounded(t *testing.T) {
	h := aHouse(t)
	r := httptest.NewRequest("GET", "/changes", nil)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r.WithContext(web.Gated(r.Context(), full{})))
	if w.Code != http.StatusServiceUnavailable || !strings.Contains(w.Body.String(), web.ErrFull.Error()) {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}
