package page

import (
	"context"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"bayhand/model/session"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

// At a destination the page says what arrives; at a source and a jack it says
// nothing of levels.
func TestLevelsAtADestination(t *testing.T) {
	h := New(Options{Room: &fake{status: keep.Status{}}, Studio: heron(t).Studio, Zone: time.UTC})
	_, html := get(t, h, "/?at=recorder/in1")
	if want := "arrives at &#43;3.9 dBu, 0.1 dB under what is wanted"; !strings.Contains(html, want) {
		t.Errorf("the page does not say %q at recorder/in1:\n%s", want, html)
	}
	for _, at := range []string{"desk/mix1", "main/t17"} {
		if _, html := get(t, h, "/?at="+at); strings.Contains(html, "arrives at") {
			t.Errorf("levels are said at %s", at)
		}
	}
}

// Before a session is recalled its view has the gain plan, as levels prints it, and
// its papers; every view of the room has the papers of the room.
func TestGainPlanOfASession(t *testing.T) {
	s := heron(t).Studio
	of, _, problems := text.ReadSession("mix.yaml", []byte("session: Mix\nconnect: [two-track: desk/mix1-2 -> recorder/in1-2]\n"), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	p := newPage(Options{Room: &fake{}, Studio: s, Zone: time.UTC, Paper: func(context.Context, string, string, string) ([]byte, error) { return nil, ErrNoPaper }})
	v := &sessionView{frame: p.frame(keep.Status{}, "sessions"), Name: "mix", Levels: p.gainPlan(of, s.Rest), OnPaper: papersOf("mix")}
	w := httptest.NewRecorder()
	write(w, httptest.NewRequest("GET", "/sessions/mix", nil), 200, "session.html", v)
	html := strings.ReplaceAll(regexp.MustCompile(`<span class="whole">([^<]*)</span>`).ReplaceAllString(w.Body.String(), "$1"), "&#43;", "+")
	for _, want := range []string{
		"<strong>two-track:</strong> desk mix L to mix R -&gt; tape recorder in 1 to 2", "reads +3.9 dBu at the end, -20.1 dBFS where full scale is +24 dBu; clips first at",
		`href="/paper/recall/mix.pdf"`, `href="/paper/levels/mix.pdf"`, `href="/paper/strips/mix.pdf"`,
		`href="/paper/cords.pdf"`, `href="/paper/wall.pdf"`, `href="/paper/strips.pdf"`, `href="/paper/rear-strips.pdf"`, `href="/paper/schedule.pdf"`, `href="/paper/wraps.pdf"`, `href="/paper/form.pdf"`,
	} {
		if !strings.Contains(html, want) {
			t.Errorf("the view of the session lacks %q:\n%s", want, html)
		}
	}
	if p.gainPlan(&session.Session{}, s.Rest) != nil {
		t.Error("a session that asks for nothing has a gain plan")
	}
}
