package page

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"time"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
	"bayhand/recall/web"
)

func at(t testing.TB, texts ...string) []name.Point {
	t.Helper()
	var all []name.Point
	for _, text := range texts {
		p, err := name.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	return all
}

func boathouse(t testing.TB) *studio.Studio {
	t.Helper()
	p := func(s string) name.Point { return at(t, s)[0] }
	modes := make([]studio.Mode, 48)
	for i := range modes {
		modes[i] = studio.HalfNormal
	}
	modes[30], modes[31], modes[32] = studio.FullNormal, studio.Parallel, studio.Isolated
	s := &studio.Studio{
		Name: "Heron Boathouse",
		Gear: []studio.Gear{{Name: "interface"}, {Name: "squeeze", Label: `<b>"squeeze"</b> & co`}},
		Bays: []studio.Bay{
			{Name: "main", Modes: modes, Jack: studio.Bantam},
			{Name: "far", Modes: modes[:8], Jack: studio.QuarterInch},
		},
		Matrices:      []studio.Matrix{{Name: "grid", Label: "the grid", Inputs: 8, Outputs: 4, Device: &studio.Device{}}},
		Faulty:        at(t, "main/t13"),
		FaultyNormals: at(t, "main/t5"),
	}
	for n := 1; n <= 16; n++ {
		s.Wires = append(s.Wires, studio.Wire{From: name.At("interface", "out", n), To: name.At("main", "t", n)})
	}
	s.Wires = append(s.Wires, studio.Wire{From: p("main/b25"), To: p("squeeze/in1")})
	return s
}

var evening = time.Date(2026, 3, 14, 19, 4, 0, 0, time.UTC)

func status(t testing.TB) keep.Status {
	t.Helper()
	told := keep.Fact{How: keep.Told, Since: evening}
	p := func(s string) name.Point { return at(t, s)[0] }
	return keep.Status{
		Seq: 12, Session: "tern-mix-2", Phase: keep.Waiting,
		Known: keep.Known{
			Cords: []keep.KnownCord{
				{Cord: patch.Cord{A: p("main/t2"), B: p("main/b26"), Length: 30 * measure.Centimetre}, Fact: told},
				{Cord: patch.Cord{A: p("main/t3"), B: p("main/b27")}, Fact: told},
				{Cord: patch.Cord{A: p("main/t4"), B: p("main/b28")}, Fact: keep.Fact{How: keep.Assumed, Since: evening}},
			},
			Dummies: []keep.KnownDummy{{Jack: p("main/b5"), Fact: told}},
			Crosspoints: []keep.KnownCrosspoint{
				{Output: p("grid/out1"), Input: p("grid/in5"), Fact: keep.Fact{How: keep.Read, Since: evening}},
				{Output: p("grid/out2"), Fact: keep.Fact{How: keep.Sent, Since: evening}},
				{Output: p("grid/out4"), Input: p("grid/in1"), Fact: keep.Fact{How: keep.Told, Since: evening}},
			},
		},
		Left: []plan.Step{
			{ID: "7", By: "grid", Do: plan.Switch, After: []string{"2"}, Crosspoints: []plan.Change{{Output: p("grid/out2"), Input: p("grid/in3")}, {Output: p("grid/out4"), Was: p("grid/in1")}}},
			{ID: "2", By: plan.Person, Do: plan.Pull, Ends: at(t, "main/b26", "main/t2"), Because: "nothing asks for it"},
			{ID: "1", By: plan.Person, Do: plan.Plug, Ends: at(t, "main/t1", "main/b25"), Length: 60 * measure.Centimetre, After: []string{"2", "6"}},
			{ID: "3", By: plan.Person, Do: plan.MoveEnd, Ends: at(t, "main/t3", "main/b27"), To: at(t, "main/t3", "main/b26")},
			{ID: "4", By: plan.Person, Do: plan.PlugDummy, Ends: at(t, "main/b9")},
		},
		Done: []keep.DoneStep{{Step: plan.Step{ID: "6", By: plan.Person, Do: plan.PlugDummy, Ends: at(t, "main/b5")}, Fact: told}},
		Matrices: []keep.MatrixStatus{
			{Name: "grid", Driven: true, Answers: true, ReadsBack: true, Identity: "<switcher>"},
		},
		Plan: &plan.Plan{
			Missing: []plan.Missing{{Want: "synth/out2 -> interface/in3", Because: "no free tie"}},
			Losses:  []plan.Loss{{Destination: p("squeeze/in1"), Source: p("interface/out9")}},
		},
		Problems: []keep.Problem{{Severity: "warning", Message: "<script>alert(1)</script>", Since: evening}},
		Tags:     []keep.Tag{{Jack: p("main/b14"), Fact: told}},
	}
}

// fake is a room that remembers what it was told.
type fake struct {
	status keep.Status
	err    error
	acts   []keep.Act
	refuse error
	// unfinished is what devices leave of every act.
	unfinished []keep.Unfinished
}

func (f *fake) Status(context.Context) (keep.Status, error) { return f.status, f.err }

func (f *fake) Events(context.Context) (<-chan keep.Status, error) {
	return nil, errors.New("nobody is followed here")
}

func (f *fake) Act(_ context.Context, act keep.Act) (keep.Answer, error) {
	f.acts = append(f.acts, act)
	return keep.Answer{Status: f.status, Unfinished: f.unfinished}, f.refuse
}

const token = "the-token"

func served(t testing.TB, f *fake) http.Handler {
	t.Helper()
	return New(Options{Room: f, Studio: boathouse(t), Zone: time.UTC, Title: func(string) string { return "Tern Quartet, second mix" }})
}

// ask sends a request as the server would hand it on.
func ask(t testing.TB, h http.Handler, r *http.Request) (*http.Response, string) {
	t.Helper()
	r.Header.Set(web.TokenHeader, token)
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	answer := w.Result()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, string(body)
}

func get(t testing.TB, h http.Handler, path string) (*http.Response, string) {
	t.Helper()
	return ask(t, h, httptest.NewRequest(http.MethodGet, path, nil))
}

func TestEveryJackIsOnThePage(t *testing.T) {
	_, html := get(t, served(t, &fake{status: status(t)}), "/")
	for _, b := range boathouse(t).Bays {
		for n := 1; n <= b.Pairs(); n++ {
			for _, jack := range []name.Point{b.TopJack(n), b.BottomJack(n)} {
				if strings.Count(html, `data-jack="`+jack.String()+`"`) != 1 {
					t.Errorf("jack %s does not stand on the page once", jack)
				}
			}
		}
	}
}

// Columns that were drawn before look as they would if they were drawn now.
func TestDrawnBefore(t *testing.T) {
	o := Options{Room: &fake{status: status(t)}, Studio: boathouse(t), Zone: time.UTC}
	with, without := newPage(o), newPage(o)
	without.drawn = nil
	_, kept := get(t, with.routes(), "/")
	_, fresh := get(t, without.routes(), "/")
	number := regexp.MustCompile(` data-view="[^"]*"`) // of its own for each that is sent
	kept, fresh = number.ReplaceAllString(kept, ""), number.ReplaceAllString(fresh, "")
	if kept != fresh || len(with.drawn) < 20 {
		t.Errorf("%d columns were drawn before, and the pages are the same is %v", len(with.drawn), kept == fresh)
	}
}

func jackOn(t testing.TB, html, jack string) string {
	t.Helper()
	found := regexp.MustCompile(`<a class="jack[^>]*data-jack="` + jack + `"(?:[^\n]*?<a class|.*)`).FindString(html)
	if found == "" {
		t.Fatalf("no jack %s", jack)
	}
	return found
}

func TestJacksShowWhatIsInAndWhatMustMove(t *testing.T) {
	_, html := get(t, served(t, &fake{status: status(t)}), "/")
	for jack, wants := range map[string][]string{
		"main/t1":  {`data-state="coming"`, "from interface out 1", "plugged in step 1"},
		"main/b25": {`data-state="coming"`, "plugged in step 1"},
		"main/t2":  {`data-state="going"`, "unplugged in step 2", `class="ring"`},
		"main/t3":  {`data-state="in"`, ">B<"},
		"main/b27": {`data-state="going"`, ">B<", "unplugged in step 3"},
		// The cord that is in must come out before the moved end goes in.
		"main/b26": {`data-state="changing"`, "unplugged in step 2", "plugged in step 3", `class="ring"`},
		"main/b5":  {`data-state="in"`, `class="dummy"`},
		"main/t4":  {`data-state="in"`, " believed", "assumed", "taken?"},
		"main/b9":  {`data-state="coming"`, `class="dummy"`},
		"main/t13": {"faulty"},
		"main/b14": {"faulty"},
		"main/t20": {`class="jack" data-jack`, "half-normal</title>"},
	} {
		got := jackOn(t, html, jack)
		for _, want := range wants {
			if !strings.Contains(got, want) {
				t.Errorf("%s lacks %s: %s", jack, want, got)
			}
		}
	}
}

func TestPageSaysTheRoomInWords(t *testing.T) {
	_, html := get(t, served(t, &fake{status: status(t)}), "/")
	html = regexp.MustCompile(`<span class="whole">([^<]*)</span>`).ReplaceAllString(html, "$1")
	text := strings.Join(strings.Fields(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(html, " ")), " ")
	for _, want := range []string{
		"Tern Quartet, second mix", "Heron Boathouse", "cords to plug",
		"Next step 4 left for hands 2 unplug", "main 26 bottom then main 2 top", "nothing asks for it",
		"interface out 1 -&gt; ", "after 2", "in 3 -&gt; out 2, out 4 off",
		"synth/out2 -&gt; interface in 3: no free tie", "loses interface out 9",
		"reported, 2026-03-14 19:04", "read back, 2026-03-14 19:04", "sent, not confirmed, 2026-03-14 19:04",
		"in 1 then off", "off then in 3", "unknown",
		"Turn loudspeakers and headphones down",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
}

func TestLabelsAreEscaped(t *testing.T) {
	_, html := get(t, served(t, &fake{status: status(t)}), "/")
	for _, never := range []string{"<script>alert", "<b>", "<switcher>"} {
		if strings.Contains(html, never) {
			t.Errorf("%s came through unescaped", never)
		}
	}
	if !strings.Contains(html, "&lt;b&gt;&#34;squeeze&#34;&lt;/b&gt; &amp; co") {
		t.Error("the label is not shown as it was written")
	}
}

func TestPageIsStrict(t *testing.T) {
	answer, html := get(t, served(t, &fake{status: status(t)}), "/")
	policy := answer.Header.Get("Content-Security-Policy")
	for _, want := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"} {
		if !strings.Contains(policy, want) {
			t.Errorf("the policy lacks %s: %s", want, policy)
		}
	}
	if strings.Contains(policy, "unsafe") {
		t.Errorf("the policy is not strict: %s", policy)
	}
	inline := regexp.MustCompile(`(?i)\s(style|on[a-z]+)\s*=|<style|<script(>|[^>]*>[^<])|https?://`)
	if found := inline.FindString(html); found != "" {
		t.Errorf("the page holds %q", found)
	}
	if !strings.Contains(html, `<meta name="bayhand-token" content="`+token+`">`) {
		t.Error("the token is not in the page")
	}
}

func TestPageCanBeHeard(t *testing.T) {
	_, html := get(t, served(t, &fake{status: status(t)}), "/")
	for _, want := range []string{`<html lang="en">`, `<main id="main"`, "<header", "<footer", "<h1>", `aria-live="polite"`, `class="skip"`, `name="viewport"`} {
		if !strings.Contains(html, want) {
			t.Errorf("the page lacks %s", want)
		}
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(`\sid="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		if ids[m[1]] || strings.ContainsAny(m[1], " ") {
			t.Errorf("the id %q stands twice, or is none", m[1])
		}
		ids[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`aria-labelledby="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		if !ids[m[1]] {
			t.Errorf("nothing has the id %q that labels a part", m[1])
		}
	}
}

func TestFilesOfThePage(t *testing.T) {
	h := served(t, &fake{status: status(t)})
	_, html := get(t, h, "/")
	links := regexp.MustCompile(`(?:href|src)="(/page/[^"]*)"`).FindAllStringSubmatch(html, -1)
	if len(links) < 3 {
		t.Fatalf("the page names only %v", links)
	}
	for _, l := range append(links, []string{"", "/page/regular.woff2"}, []string{"", "/page/bold.woff2"}) {
		answer, body := get(t, h, l[1])
		if answer.StatusCode != http.StatusOK || body == "" || answer.Header.Get("Content-Type") == "" {
			t.Errorf("%s: %s", l[1], answer.Status)
		}
		again := httptest.NewRequest(http.MethodGet, l[1], nil)
		again.Header.Set("If-None-Match", answer.Header.Get("ETag"))
		if answer, _ := ask(t, h, again); answer.StatusCode != http.StatusNotModified {
			t.Errorf("%s is sent again though nothing changed: %s", l[1], answer.Status)
		}
	}
	if answer, _ := get(t, h, "/page/room.html"); answer.StatusCode != http.StatusNotFound {
		t.Errorf("a file that is none: %s", answer.Status)
	}
}

// A plan that is being made stands on the card, with the way to give it up, and not
// among the notes further down.
func TestPlanningStandsOnTheCard(t *testing.T) {
	s := status(t)
	s.Problems = append(s.Problems, keep.Problem{Code: "planning", Severity: "advice", Message: "planning Tern since 10:20:30", Remedies: []keep.Act{{Do: keep.ToUndo}}})
	_, html := get(t, served(t, &fake{status: s}), "/")
	_, card, _ := strings.Cut(html, `id="next-title"`)
	card, below, _ := strings.Cut(card, `id="left"`)
	if !strings.Contains(card, "Planning Tern since 10:20:30") || !strings.Contains(card, `value="undo"`) || strings.Contains(below, "since 10:20:30") {
		t.Errorf("on the card stands\n%s", card)
	}
}
