package page

import (
	"testing"
)

// With letters twice as large (WCAG 2.2, 1.4.4) no view makes a phone scroll sideways, and
// the name of the session stands in words, not letter under letter.
func TestLargeLetters(t *testing.T) {
	looks(t)
	t.Parallel()
	v := visit(t, phone)
	for _, view := range everyView(t) {
		v.open(view.at, view.path)
		v.js(`document.documentElement.style.fontSize = "200%"`)
		if wide := v.value(`String(document.documentElement.scrollWidth)`); wide != "390" {
			t.Errorf("%s is %s pixels wide of 390: %s", view.path, wide, v.value(`[...document.querySelectorAll("body *")].filter((e) => e.getBoundingClientRect().right > 391).map((e) => e.outerHTML.slice(0, 80)).join("; ").slice(0, 600)`))
		}
		if broken := v.value(`((h) => { const c = document.createElement("canvas").getContext("2d"); const s = getComputedStyle(h); c.font = s.fontWeight + " " + s.fontSize + " " + s.fontFamily; return h.innerText.split(/\s+/).filter((word) => c.measureText(word).width > h.clientWidth + 1).join(" "); })(document.querySelector("h1"))`); broken != "" {
			t.Errorf("%s: in the title %q is parted", view.path, broken)
		}
	}
}
