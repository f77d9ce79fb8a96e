package page

import (
	"context"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// full is a gate that lets no further stream open.
type full struct{}

func (full) Open() (func(), bool) { return nil, false }
func (full) Stays() bool          { return true }

// followed is a room whose events somebody follows until the context ends.
type followed struct {
	fake
	following context.Context
}

func (f *followed) Events(ctx context.Context) (<-chan keep.Status, error) {
	f.following = ctx
	return make(chan keep.Status), nil
}

// A browser that asks for one stream too many is told so, and holds nothing of the
// room.
func TestChangesAreBounded(t *testing.T) {
	f := &followed{fake: fake{status: status(t)}}
	h := New(Options{Room: f, Studio: boathouse(t), Changes: NewChanges()})
	r := httptest.NewRequest("GET", "/changes", nil)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r.WithContext(web.Gated(r.Context(), full{})))
	if w.Code != http.StatusServiceUnavailable || !strings.Contains(w.Body.String(), web.ErrFull.Error()) {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if f.following == nil || f.following.Err() == nil {
		t.Error("the room is still followed")
	}
}
