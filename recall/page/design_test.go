package page

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"

	pointer "github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"bayhand/model/arrange"
	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

// smallRoom is a room with one bay that is wired to the bays in the wrong order.
func smallRoom(t testing.TB) keep.Files {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(`studio: Small
gear:
  interface: {outputs: {out1-4: pro-line}, inputs: {in1-4: pro-line}}
  squeeze: {channels: 2, line: pro-line}
  shaper: {channels: 2, line: pro-line}
bays:
  main: {pairs: 16, modes: isolated}
wiring:
  - interface/out1-4 -> main/t1-4
  - main/b1-4 -> interface/in1-4
  - squeeze/out1-2 -> main/t5-6
  - main/b5-6 -> squeeze/in1-2
  - shaper/out1-2 -> main/t7-8
  - main/b7-8 -> shaper/in1-2
`))
	if problems.Errors() {
		t.Fatal(problems)
	}
	take, _, problems := text.ReadSession("take.yaml", []byte("session: Take\nconnect:\n  - interface/out1-2 -> squeeze/1-2 -> interface/in1-2\n"), s, nil)
	if problems.Errors() {
		t.Fatal(problems)
	}
	return keep.Files{Studio: s, Sessions: map[string]*session.Session{"take": take}}
}

// What an address says is read back, and what it does not say well is left out.
func TestDesignAddress(t *testing.T) {
	ask := designAsk{Moved: []exchange{{0, 8, 2, arrange.TopRow}, {2, 4, 2, arrange.BothRows}}, Size: 2, Row: arrange.BottomRow, Beside: "proposal", Tidy: 10, Held: 3}
	again := readDesign(httptest.NewRequest(http.MethodGet, ask.address(func(*designAsk) {}), nil).URL.Query())
	if fmt.Sprint(again) != fmt.Sprint(ask) {
		t.Errorf("%v is read back as %v", ask, again)
	}
	for _, wrong := range []string{"1.2.3", "a.2.8.both", "1.2.8.sideways", ""} {
		if e, ok := readExchange(wrong); ok {
			t.Errorf("%q is read as %v", wrong, e)
		}
	}
}

// Columns that nothing is proposed for are drawn as they are, run by run.
func TestDesignShowsWhatStays(t *testing.T) {
	b := studio.Bay{Name: "main", Modes: make([]studio.Mode, 8), Jack: studio.Bantam}
	d := designBay{}
	d.stay(&b, []arrange.Column{{Bay: "main", Pair: 2}, {Bay: "main", Pair: 3}, {Bay: "main", Pair: 7}, {Bay: "far", Pair: 5}})
	var runs []string
	for _, s := range d.Stays {
		runs = append(runs, s.Columns())
	}
	if got := strings.Join(runs, " "); got != "1 4-6 8" || d.Says != "1: as it is. 4-6: as it is. 8: as it is. " {
		t.Errorf("what stays is %q, and it says %q", got, d.Says)
	}
}

// Ports that go on in a row have one strip, whatever stands in the other row and why.
func TestDesignStrips(t *testing.T) {
	point := func(owner, stem string, n int) name.Point { return name.At(owner, stem, n) }
	d := designBay{}
	d.strips(&studio.Bay{Name: "main", Modes: make([]studio.Mode, 8), Jack: studio.Bantam}, []arrange.Column{
		{Bay: "main", Pair: 1, Top: point("desk", "out", 1), Because: "asked for"},
		{Bay: "main", Pair: 2, Top: point("desk", "out", 2), Bottom: point("tape", "in", 1), Because: "alone"},
		{Bay: "main", Pair: 3}, {Bay: "main", Pair: 4, Top: point("desk", "aux", 3)}, {Bay: "far", Pair: 5, Top: point("desk", "aux", 4)},
	}, 0, func(c arrange.Column) name.Point { return c.Top })
	var got []string
	for _, p := range d.Parts {
		text := fmt.Sprintf("%.0f", p.Width/pitchOf(studio.Bay{Jack: studio.Bantam}))
		for _, w := range p.Words {
			text += " " + w.Text
		}
		got = append(got, text)
	}
	if want := "2 desk out1-2, 1, 1 desk aux3"; strings.Join(got, ", ") != want {
		t.Errorf("the strips are %q, and should be %q", got, want)
	}
}

// Blocks change places by mouse, by finger, by keys and by touching one after the
// other; what that costs stands beside at once, and can be taken back.
func TestDesignByHand(t *testing.T) {
	t.Parallel()
	h := build(t, smallRoom(t))
	v := visit(t, desktop)
	v.open(h, "/design?size=2")
	facts := func() string { return v.text("#draft .design-facts") }
	before := facts()
	if !strings.Contains(before, "0 plugs") || !strings.Contains(v.text("#beside .design-facts"), "8 plugs") {
		t.Fatalf("the draft says %q, the room as it is %q", before, v.text("#beside .design-facts"))
	}
	exchanged := func(how string) {
		t.Helper()
		v.until(`location.search.includes("moved=")`)
		v.until(`document.querySelector("#draft-title").innerText.includes("one exchange")`)
		if facts() == before {
			t.Errorf("%s: what it costs is as before: %q", how, before)
		}
	}
	back := func() {
		t.Helper()
		v.click("#design-undo")
		v.until(`!location.search.includes("moved=")`)
		v.until(`document.querySelector("#draft-title").innerText.includes("so far")`)
		if facts() != before {
			t.Errorf("taken back, it costs %q, and %q before", facts(), before)
		}
	}
	v.click(`[href$="row=top&size=2&tidy=5"]`)
	v.until(`document.querySelector('.chosen[href*="row=top"]')`)
	v.js(`scrollTo(0, document.querySelector("#draft").offsetTop)`)
	a, b := v.inSight("#block-0"), v.where("#block-2")
	v.mouse(pointer.DispatchMouseEventTypeMousePressed, a, 1)
	v.mouse(pointer.DispatchMouseEventTypeMouseMoved, [2]float64{(a[0] + b[0]) / 2, a[1]}, 1)
	v.mouse(pointer.DispatchMouseEventTypeMouseMoved, b, 1)
	v.mouse(pointer.DispatchMouseEventTypeMouseReleased, b, 0)
	exchanged("by mouse")
	v.shoot("design")
	back()
	v.click("#block-0")
	v.until(`document.querySelector("#block-0").classList.contains("held")`)
	v.click("#block-2")
	exchanged("touched one after the other")
	back()
	v.js(`document.querySelector("#block-0").focus()`)
	v.run(chromedp.KeyEvent(kb.Enter))
	v.until(`document.querySelector("#block-0").classList.contains("held")`)
	v.js(`document.querySelector("#block-0").focus()`)
	v.js(`document.activeElement.dispatchEvent(new KeyboardEvent("keydown", {key: "ArrowRight", bubbles: true}))`)
	v.until(`document.activeElement.id === "block-2"`)
	v.run(chromedp.KeyEvent(kb.Enter))
	exchanged("by keys")
	v.calm()
}

// On a phone a finger drags a block; nobody is locked out of the view.
func TestDesignByFinger(t *testing.T) {
	t.Parallel()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	h := build(t, smallRoom(t))
	v := visit(t, phone)
	v.open(h, "/design?size=2&row=bottom")
	v.inSight("#block-0")
	right, down := v.between("#block-0", "#block-2")
	v.slide("#block-0", right, down)
	v.until(`location.search.includes("moved=0.2.2.bottom")`)
	v.until(`document.querySelector("#draft-title").innerText.includes("one exchange")`)
	v.shoot("design-phone")
	for _, what := range v.violations(string(axe), false) {
		t.Error(what)
	}
	v.calm()
}

// Without its script the view is links, and what cannot be exchanged is said.
func TestDesignWithoutScript(t *testing.T) {
	h := build(t, smallRoom(t))
	for path, wanted := range map[string]string{
		"/design?size=2&held=0":            "Now touch the block that it changes places with.",
		"/design?moved=0.1.2.both":         "It stays as it was:",
		"/design?moved=0.8.2.both&size=16": "one exchange",
		"/design?beside=proposal":          "as many plugs and lines as the proposal",
		"/design?moved=0.8.2.top":          " than the room as it is",
		"/design":                          "half-normal: asked for in 1 of 1 session; isolated would cost 2 plugs more",
	} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequest(http.MethodGet, path, nil))
		if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), wanted) {
			t.Errorf("%s gives %d and does not say %q", path, w.Code, wanted)
		}
	}
}
