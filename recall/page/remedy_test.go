package page

import (
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"bayhand/model/plan"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

// A button that answers a problem asks for the act with all of its options.
func TestRemediesKeepTheirOptions(t *testing.T) {
	act := keep.Act{Do: keep.ToRecall, Session: "mix", Options: keep.RecallOptions{
		Prefer: "fewest", Partly: true, LeaveCords: true, Inside: true, Room: "live", Instead: true, Effort: 1920}}
	form := url.Values{}
	for _, f := range fieldsOf(act) {
		form.Set(f.Name, f.Value)
	}
	got, err := actOf(form)
	if diff := cmp.Diff(act, got); diff != "" || err != nil {
		t.Errorf("%v %s", err, diff)
	}
	form.Set("effort", "much")
	if _, err := actOf(form); err == nil || !strings.Contains(err.Error(), `"much"`) {
		t.Errorf("an effort that is no number: %v", err)
	}
}

// Where the search stopped before it found a plan, the preview says so, and not that the
// session is not possible; it can be recalled with a longer search.
func TestPreviewOfAStoppedSearch(t *testing.T) {
	made := &plan.Plan{Stopped: true}
	v := &sessionView{frame: newPage(Options{Room: &fake{}}).frame(keep.Status{}, "sessions"), Name: "mix"}
	v.Planned, v.Effort, v.Longer = true, effort(made), longer(made)
	w := httptest.NewRecorder()
	r := httptest.NewRequest("GET", "/sessions/mix", nil)
	r.Header.Set(web.TokenHeader, "token")
	write(w, r, 200, "session.html", v)
	html := w.Body.String()
	for _, want := range []string{"The search stopped before a plan was found; nothing would change.", `name="effort" id="effort" value="1920"`} {
		if !strings.Contains(html, want) {
			t.Errorf("the preview lacks %q:\n%s", want, html)
		}
	}
	if strings.Contains(html, "Not possible") || strings.Contains(html, `name="partly"`) {
		t.Errorf("the preview says that the session is not possible:\n%s", html)
	}
}
