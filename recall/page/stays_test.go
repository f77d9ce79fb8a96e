package page

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

func (v *visitor) words(expression string) []string {
	v.t.Helper()
	found, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](expression))
	v.must(err)
	return found
}

// awaited is what an expression that takes its time comes to.
func (v *visitor) awaited(expression string) []string {
	v.t.Helper()
	found, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](expression, chromedp.EvalAwaitPromise))
	v.must(err)
	return found
}

// media has the browser show the page as on paper, or in colours of its reader's.
func (v *visitor) media(kind string, features ...*emulation.MediaFeature) {
	v.t.Helper()
	command(v.t, v.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: kind, Features: features})
}

// Where a finger rests after a move it finds the same button for the next one, and
// no other: at a desk and on a phone, through a whole session.
func TestButtonStaysWhereItIs(t *testing.T) {
	looks(t)
	t.Parallel()
	for _, at := range []screen{desktop, phone} {
		h := handsWanted(t)
		v := visit(t, at)
		v.open(h, "/")
		const where = `JSON.stringify(document.querySelector("#tick-next").getBoundingClientRect())`
		const under = `document.elementFromPoint(...((r) => [r.x + r.width / 2, r.y + r.height / 2])(document.querySelector("#tick-next").getBoundingClientRect()))?.closest("button, a")?.id ?? "nothing"`
		var first string
		for n := 0; n < 20 && h.status().Phase != keep.Given; n++ {
			next := v.next()
			now := v.words(`[` + where + `, ` + under + `]`)
			if now[1] != "tick-next" {
				t.Errorf("phone %v, move %d: the button is under %s", at.phone, n, now[1])
			}
			if first == "" {
				first = now[0]
			}
			if now[0] != first {
				t.Errorf("phone %v, move %d: the button stands at %s, at first at %s", at.phone, n, now[0], first)
			}
			if n == 0 || n == 3 {
				v.shoot(fmt.Sprintf("card-%d-phone-%v", n, at.phone))
			}
			v.click("#tick-next")
			v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next !== %q`, next))
		}
		v.calm()
	}
}

// Escape and Close lead the keyboard back to the jack, on the bay and on the bench.
func TestKeyboardComesBackToTheJack(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, desktop)
	const here = `document.activeElement?.dataset?.jack ?? document.activeElement?.id`
	for _, path := range []string{"/", "/bench?from=rest"} {
		v.open(h, path)
		for _, leave := range []string{`document.querySelector("#close").click()`, `document.dispatchEvent(new KeyboardEvent("keydown", {key: "Escape", bubbles: true}))`} {
			v.js(`document.querySelector('a[data-jack="main/t3"]').focus()`)
			v.click(`a[data-jack="main/t3"]`)
			v.until(`document.activeElement?.id === "touched" || document.querySelector("#touched")`)
			if path != "/" {
				// The first touch begins a cord there; the touch is let go by another.
				v.js(`document.querySelector("#touched").focus()`)
			}
			v.js(leave)
			v.until(`!document.querySelector("#touched")`)
			v.until(here + ` === "main/t3"`)
		}
	}
	v.calm()
}

// A screen shows what it may do, and no button that answers with a refusal.
func TestScreenShowsWhatItMay(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	for role, want := range map[serve.Role]struct {
		says           string
		ticks, recalls bool
	}{serve.Look: {"may look", false, false}, serve.Tick: {"may tick steps", true, false}, serve.Recall: {"", true, true}} {
		v := visit(t, desktop)
		v.letIn(h, role)
		for _, path := range []string{"/?at=main/t1", "/sessions", "/sessions/evening-listening", "/happened", "/bench?from=rest"} {
			v.open(h, path)
			if said := v.text(".only"); !strings.Contains(said, want.says) || (said == "") != (want.says == "") {
				t.Errorf("%s at %s says %q", role, path, said)
			}
			for _, id := range v.words(`[...document.querySelectorAll("form[action='/do'] button")].map((b) => b.id)`) {
				recalls := slices.Contains([]string{"recall", "undo-recall", "capture", "keep-bench"}, id)
				if recalls && !want.recalls || !want.ticks {
					t.Errorf("%s at %s has the button %s", role, path, id)
				}
			}
		}
		v.open(h, "/")
		if (v.text("#tick-next") != "") != want.ticks {
			t.Errorf("%s ticks: %q", role, v.text("#tick-next"))
		}
		v.open(h, "/sessions/evening-listening")
		v.until(`!document.querySelector(".working")`)
		if (v.text("#recall") != "") != want.recalls {
			t.Errorf("%s recalls: %q", role, v.text("#recall"))
		}
		if role == serve.Look {
			v.shoot("may-look")
		}
		v.calm()
	}
}

// The page on paper is black on white by night too, no bay is cut off, and what is
// to be set stands there.
func TestPagePrinted(t *testing.T) {
	looks(t)
	t.Parallel()
	h := handsWanted(t)
	v := visit(t, screen{width: 794, height: 1123}) // A4 at 96 dots an inch
	v.open(h, "/")
	v.media("print", &emulation.MediaFeature{Name: "prefers-color-scheme", Value: "dark"})
	for _, found := range v.words(`(() => {
		const odd = [], css = (e) => getComputedStyle(e);
		if (css(document.body).backgroundColor !== "rgb(255, 255, 255)") odd.push("the ground is " + css(document.body).backgroundColor);
		for (const e of document.querySelectorAll("main > section, .next, .left, #left-list li, .gear strong")) {
			if (css(e).display !== "none" && !/^rgb\((0|51), (0|51), (0|51)\)$/.test(css(e).color)) odd.push(e.className + " is written in " + css(e).color);
		}
		for (const e of document.querySelectorAll(".panel")) if (e.getBoundingClientRect().right > innerWidth + 1) odd.push("a bay is cut off at " + e.getBoundingClientRect().right);
		for (const e of document.querySelectorAll(".gear strong")) if (!e.checkVisibility() || e.getBoundingClientRect().height === 0) odd.push(e.innerText + " is not there");
		if (!document.querySelector(".gear strong")) odd.push("there is no recall sheet");
		for (const e of document.querySelectorAll("#left-list")) if (e.scrollHeight > e.clientHeight + 1) odd.push("the moves are cut off");
		return odd;
	})()`) {
		t.Error(found)
	}
	v.shoot("printed")
	v.calm()
}

// In the colours of the reader a dummy is no empty jack, a crosspoint no empty cell.
func TestForcedColours(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.Plugged, A: at(t, "main/t9")[0]}); err != nil {
		t.Fatal(err)
	}
	v := visit(t, desktop)
	v.open(h, "/")
	v.until(`document.querySelector("svg.panel .dummy")`)
	v.media("", &emulation.MediaFeature{Name: "forced-colors", Value: "active"})
	look := v.words(`[".panel .dummy", ".panel .hole"].map((s) => getComputedStyle(document.querySelector(s)).fill)`)
	if look[0] == look[1] {
		t.Errorf("a dummy is filled as an empty jack: %s", look[0])
	}
	v.shoot("forced-colours")
	// What is chosen does not look as what is not, nor the view that is shown as others.
	v.open(h, "/design")
	for _, found := range v.words(`[[".design-choices .act[aria-current]", ".design-choices .act:not([aria-current])", "backgroundColor"], ["nav a[aria-current]", "nav a:not([aria-current])", "borderBottomColor"]]
		.flatMap(([is, not, what]) => getComputedStyle(document.querySelector(is))[what] === getComputedStyle(document.querySelector(not))[what] ? [is + " looks as " + not] : [])`) {
		t.Error(found)
	}
}

// On a touch screen the larger jacks are larger.
func TestLargerJacksOnTouch(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, phone)
	const tall = `[String(document.querySelector(".panel").getBoundingClientRect().height)]`
	v.open(h, "/")
	before := v.words(tall)[0]
	v.open(h, "/?size=large")
	if after := v.words(tall)[0]; after == before {
		t.Errorf("a bay is %s pixels tall in both sizes", after)
	}
}

// The head of a matrix on the bench stands above its rows, over the same columns.
func TestBenchMatrixIsATable(t *testing.T) {
	looks(t)
	t.Parallel()
	v := visit(t, desktop)
	v.open(build(t, heron(t)), "/bench?from=rest")
	for _, found := range v.words(`[...document.querySelectorAll("table.points")].flatMap((t) => {
		const heads = [...t.querySelectorAll("thead th")], cells = [...t.querySelectorAll("tbody tr:first-child > *")];
		const at = (e) => e.getBoundingClientRect();
		return heads.flatMap((h, i) => at(h).bottom <= at(cells[i]).top + 1 && Math.abs(at(h).left - at(cells[i]).left) < 2 ? [] : [h.innerText + " stands beside its column"]);
	})`) {
		t.Error(found)
	}
	if len(v.words(`[...document.querySelectorAll("table.points")].map(() => "")`)) == 0 {
		t.Error("there is no matrix on the bench")
	}
	v.shoot("bench-matrix")
}

// everywhere are the classes that look the same whatever they stand on. Any other
// class alone in a rule belongs to one kind of element: two that share a name by
// chance would share their looks.
var everywhere = strings.Fields(`act acts quiet count error ask unseen say since plain problems
	mark verb number length arrow why how after behind bay jack hole ring outline letter dress word column normal
	points lit in state open closed point hears notes lines says lessons printed`)

func TestStylesAreScoped(t *testing.T) {
	used := map[string][]string{} // class -> elements
	blank := regexp.MustCompile(`\{\{[^}]*\}\}`)
	tag := regexp.MustCompile(`<([a-z][a-z0-9]*)[^<>]*? class="([^"]*)"`)
	for _, file := range []string{"frame", "room", "parts", "bench", "sessions", "session", "happened", "files", "missing", "hands", "screens", "draw"} {
		text, err := templates.ReadFile(file + ".html")
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range tag.FindAllStringSubmatch(blank.ReplaceAllString(string(text), " "), -1) {
			for _, class := range strings.Fields(m[2]) {
				if !slices.Contains(used[class], m[1]) {
					used[class] = append(used[class], m[1])
				}
			}
		}
	}
	css, err := sources.ReadFile("page.css")
	if err != nil {
		t.Fatal(err)
	}
	rules := regexp.MustCompile(`/\*(?s:.*?)\*/`).ReplaceAllString(string(css), "")
	for _, m := range regexp.MustCompile(`(?m)([^{}]+)\{`).FindAllStringSubmatch(rules, -1) {
		for _, selector := range strings.Split(m[1], ",") {
			alone := regexp.MustCompile(`^\.([a-z-]+)(:[a-z-]+)?$`).FindStringSubmatch(strings.TrimSpace(selector))
			if alone != nil && len(used[alone[1]]) > 1 && !slices.Contains(everywhere, alone[1]) {
				t.Errorf("%s styles %s alike; say which is meant", strings.TrimSpace(selector), strings.Join(used[alone[1]], ", "))
			}
		}
	}
	for _, class := range []string{"set", "large"} {
		if regexp.MustCompile(`(?m)(^|[,}])\s*\.` + class + `\s*[,{]`).MatchString(rules) {
			t.Errorf(".%s stands alone", class)
		}
	}
}
