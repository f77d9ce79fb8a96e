package page

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"bayhand/recall/keep"
)

// walker notes, in a browser, what the keyboard comes to: what can be reached at all,
// and of each after a Tab whether it is seen to have the keyboard, and not under
// something else.
const walker = `{
	const shown = (e) => e.checkVisibility({checkVisibilityCSS: true}) && e.getBoundingClientRect().width > 0;
	const first = (e) => e.type !== "radio" || e.checked || ![...document.querySelectorAll('input[type="radio"]')].some((r) => r.name === e.name && r.checked);
	window.reachable = [...document.querySelectorAll("a[href], button, input, select, textarea, summary, [tabindex]")].filter((e) => !e.disabled && e.tabIndex >= 0 && shown(e) && first(e));
	window.reached = new Map();
	const all = (e) => [e, ...e.querySelectorAll("*"), e.closest("label"), e.nextElementSibling].filter(Boolean);
	const looks = (e) => all(e).map((one) => { const s = getComputedStyle(one); return [s.outline, s.boxShadow, s.borderColor, s.backgroundColor, s.stroke, s.strokeWidth, s.fill, s.textDecoration, s.getPropertyValue("--focus")].join(); }).join();
	window.called = (e) => e.id ? "#" + e.id : e.outerHTML.slice(0, 90);
	const inSight = (e) => {
		const r = e.getBoundingClientRect();
		return [[.5, .5], [.1, .5], [.9, .5], [.5, .1], [.5, .9]].some(([x, y]) => {
			const hit = document.elementFromPoint(r.left + r.width * x, r.top + r.height * y);
			return hit && (e.contains(hit) || hit.contains(e) || hit.closest("label")?.contains(e));
		});
	};
	window.walked = ({key}) => {
		const e = document.activeElement;
		if (key === "Tab" && e && e !== document.body && !reached.has(e)) reached.set(e, { looks: looks(e), inSight: inSight(e) });
	};
	addEventListener("keyup", walked, true);
	window.judged = () => {
		document.activeElement?.blur();
		return [
			...reachable.filter((e) => e.isConnected && !reached.has(e)).map((e) => "is not reached: " + called(e)),
			...[...reached].filter(([e, was]) => looks(e) === was.looks).map(([e]) => "has the keyboard and does not show it: " + called(e)),
			...[...reached].filter(([, was]) => !was.inSight).map(([e]) => "has the keyboard out of sight: " + called(e)),
		];
	};
}`

// Every view can be walked with keys alone: Tab comes to all that can be pressed, shows
// where it is, in sight (WCAG 2.2, 2.1.1, 2.4.7 and 2.4.11), and leaves it again
// (2.1.2).
func TestKeysComeEverywhere(t *testing.T) {
	looks(t)
	t.Parallel()
	v := visit(t, desktop)
	for _, view := range everyView(t) {
		v.open(view.at, view.path)
		v.until(`!document.querySelector(".working")`)
		v.js(walker)
		v.run(chromedp.KeyEvent(strings.Repeat(kb.Tab, v.number(`reachable.length`)+1)))
		for _, found := range v.words(`judged()`) {
			t.Errorf("%s: %s", view.path, found)
		}
	}
	v.calm()
}

// The main job with keys alone: a session is found, recalled, ticked move by move, a
// signal followed and a tick undone, and the keyboard stays where the work is.
func TestMainJobByKeys(t *testing.T) {
	looks(t)
	t.Parallel()
	h := build(t, heron(t))
	v := visit(t, desktop)
	v.open(h, "/")
	v.tabTo(`.skip`)
	v.run(chromedp.KeyEvent(kb.Enter))
	v.until(`location.hash === "#main"`)
	v.open(h, "/")
	v.tabTo(`nav a[href="/sessions"]`)
	v.leaves(func() { v.run(chromedp.KeyEvent(kb.Enter)) })
	v.tabTo(`a[href="/sessions/tern-mix-2"]`)
	v.leaves(func() { v.run(chromedp.KeyEvent(kb.Enter)) })
	v.until(`document.querySelector(".would")?.innerText.includes("plugs to handle")`)
	v.tabTo(`#recall`)
	v.leaves(func() { v.run(chromedp.KeyEvent(kb.Enter)) })
	first := v.next()
	v.tabTo(`#tick-next`)
	v.run(chromedp.KeyEvent(" "))
	v.goesOn(first)
	second := v.next()
	v.until(`document.activeElement.id === "tick-next"`)
	v.run(chromedp.KeyEvent(kb.Enter))
	v.goesOn(first, second)
	v.tabTo(`#undo`)
	v.run(chromedp.KeyEvent(kb.Enter))
	v.until(fmt.Sprintf(`document.querySelector("#room").dataset.next === %q`, second))
	v.tabTo(`a.jack`)
	v.run(chromedp.KeyEvent(kb.End), chromedp.KeyEvent(kb.Home), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.Enter))
	v.until(`document.activeElement.id === "touched"`)
	v.run(chromedp.KeyEvent(kb.Escape))
	v.until(`!document.querySelector("#touched") && document.activeElement.matches("a.jack")`)
	if h.status().Phase != keep.Waiting {
		t.Errorf("the room is %s", h.status().Phase)
	}
	v.calm()
}

// tabTo presses Tab until the keyboard is at an element.
func (v *visitor) tabTo(selector string) {
	v.t.Helper()
	for range 300 {
		v.run(chromedp.KeyEvent(kb.Tab))
		if v.value(fmt.Sprintf(`String(document.activeElement?.matches(%q))`, selector)) == "true" {
			return
		}
	}
	v.t.Fatalf("Tab never comes to %s", selector)
}

// number is what an expression counts.
func (v *visitor) number(expression string) int {
	v.t.Helper()
	n, err := chromedp.Run(v.ctx, chromedp.Evaluate[int](expression))
	v.must(err)
	return n
}
