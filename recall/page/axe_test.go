package page

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// violations runs axe-core, an accessibility checker of others, over what is
// shown: WCAG 2.2 level A and AA, and its best practices.
// With rules named it looks for those alone. Bays and matrices, which take it long,
// are left out of what is only beside them.
func (v *visitor) violations(axe string, beside bool, rules ...string) []string {
	v.t.Helper()
	v.js("window.axe || (() => { " + axe + " })()")
	options := `{resultTypes: ["violations"], rules: {"target-size": {enabled: true}}}`
	if v.text("#practice") != "" {
		// Hundreds of squares beside each other take it seconds, and have one size.
		options = `{resultTypes: ["violations"]}`
	}
	if len(rules) > 0 {
		options = fmt.Sprintf(`{resultTypes: ["violations"], runOnly: %q}`, rules)
		options = strings.NewReplacer(`" "`, `", "`).Replace(options)
	}
	context := "document"
	if beside {
		context = `{exclude: [[".bay"], [".matrix"], [".close"]]}`
	}
	run := "axe.run(" + context + ", " + options + `).then((r) => r.violations.flatMap((x) => x.nodes.map((n) => x.id + ": " + n.target.join(" ") + ": " + n.failureSummary)))`
	found, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](run, chromedp.EvalAwaitPromise))
	v.must(err)
	return found
}

// All views, by day and by night, at a desk and on a phone.
func TestNobodyIsLockedOut(t *testing.T) {
	looks(t)
	t.Parallel()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	screens := []*visitor{visit(t, desktop), visit(t, phone)}
	for i, view := range everyView(t) {
		// Every other view by day at a desk, the others by night on a phone; then its
		// colours in the other light.
		v, at := screens[i%2], []screen{desktop, phone}[i%2]
		at.dark = at.phone
		v.emulate(at)
		v.open(view.at, view.path)
		for _, found := range v.violations(string(axe), view.beside) {
			t.Errorf("%s, dark %v: %s", view.path, at.dark, found)
		}
		at.dark = !at.dark
		v.emulate(at)
		for _, found := range v.violations(string(axe), view.beside, "color-contrast") {
			t.Errorf("%s, dark %v: %s", view.path, at.dark, found)
		}
	}
	for _, v := range screens {
		v.calm()
	}
}

// What is pressed with a finger is 44 pixels wide and high, and nothing makes a
// phone scroll sideways.
func TestRoomForAFinger(t *testing.T) {
	looks(t)
	t.Parallel()
	v := visit(t, phone)
	for _, view := range everyView(t) {
		v.open(view.at, view.path)
		v.until(`document.documentElement.scrollWidth <= innerWidth`)
		small, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](`[...document.querySelectorAll("button, .act, nav a, summary, input, a.jack, label:has(input)")]
			.map((e) => [e, e.matches("input[type=checkbox]") ? e.closest("label").getBoundingClientRect() : e.getBoundingClientRect()])
			.filter(([, r]) => r.width > 0 && (r.width < 43.9 || r.height < 43.9)).map(([e, r]) => e.outerHTML.slice(0, 90) + " is " + r.width + " x " + r.height)`))
		v.must(err)
		for _, one := range small {
			t.Errorf("%s: %s", view.path, one)
		}
	}
}

// Views beside those above, and the page of who is not let in.
func TestLandmarksAreNamedApart(t *testing.T) {
	looks(t)
	t.Parallel()
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	h := handsWanted(t)
	v := visit(t, desktop)
	for _, path := range []string{"/?at=grid/out1", "/?hand=plug&from=main/t1&to=main/b1", "/sessions?find=tern", "/happened?before=3", "/bench?from=rest&hand=main/t2"} {
		v.open(h, path)
		for _, found := range v.violations(string(axe), true, "landmark-unique", "region", "page-has-heading-one", "heading-order") {
			t.Errorf("%s: %s", path, found)
		}
	}
	v.open(h, "/nowhere")
	if said := v.text("h2"); said != "Nothing stands at this address" {
		t.Errorf("an address that leads nowhere says %q", said)
	}
	stranger := visit(t, phone)
	stranger.run(chromedp.Navigate("http://" + h.address + "/"))
	for _, found := range stranger.violations(string(axe), false) {
		t.Errorf("not let in: %s", found)
	}
	stranger.shoot("not-let-in")
}
