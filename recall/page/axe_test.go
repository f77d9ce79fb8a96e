package page

import (
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// violations runs axe-core, an accessibility checker of others, over what is
// shown: WCAG 2.2 level A and AA, and its best practices.
func (v *visitor) violations(axe string) []string {
	v.t.Helper()
	v.js(axe)
	const run = `axe.run(document, {rules: {"target-size": {enabled: true}}}).then((r) => r.violations.flatMap((x) => x.nodes.map((n) => x.id + ": " + n.target.join(" ") + ": " + n.failureSummary)))`
	found, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](run, chromedp.EvalAwaitPromise))
	v.must(err)
	return found
}

// All views, by day at a desk and in the dark on a phone.
func TestNobodyIsLockedOut(t *testing.T) {
	axe, err := os.ReadFile("testdata/axe/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	h := handsWanted(t)
	for _, test := range []struct {
		at    screen
		paths []string
	}{
		{desktop, []string{"/?at=main/t1", "/sessions/evening-listening"}},
		{phone.inTheDark(), []string{"/?hand=plug&from=main/t1", "/sessions", "/happened"}},
	} {
		v := visit(t, test.at)
		for _, path := range test.paths {
			v.open(h, path)
			for _, found := range v.violations(string(axe)) {
				t.Errorf("%s: %s", path, found)
			}
			v.shoot("axe" + strings.NewReplacer("/", "-", "?", "-").Replace(path))
		}
		v.calm()
	}
}

// What is pressed with a finger is 44 pixels wide and high, and nothing makes a
// phone scroll sideways.
func TestRoomForAFinger(t *testing.T) {
	h := handsWanted(t)
	v := visit(t, phone)
	for _, path := range []string{"/?at=main/t1", "/sessions", "/happened"} {
		v.open(h, path)
		v.until(`document.documentElement.scrollWidth <= innerWidth`)
		small, err := chromedp.Run(v.ctx, chromedp.Evaluate[[]string](`[...document.querySelectorAll("button, .act, nav a, summary, input, a.jack, label:has(input)")]
			.map((e) => [e, e.matches("input[type=checkbox]") ? e.closest("label").getBoundingClientRect() : e.getBoundingClientRect()])
			.filter(([, r]) => r.width > 0 && (r.width < 43.9 || r.height < 43.9)).map(([e, r]) => e.outerHTML.slice(0, 90) + " is " + r.width + " x " + r.height)`))
		v.must(err)
		for _, one := range small {
			t.Errorf("%s: %s", path, one)
		}
	}
}
