package page

import (
	"strings"
	"testing"
)

// What stands over the jacks says which they are: not three times the desk, but its
// mix, its monitors and its cues, with the number of each at its jack.
func TestStripsIdentify(t *testing.T) {
	p := newPage(Options{Studio: heron(t).Studio})
	main := p.Studio.Bays[0]
	made := p.strips.of(main)
	read := func(all []printed) string {
		var text []string
		for _, one := range all {
			for _, n := range one.Names {
				text = append(text, n.Text)
			}
		}
		return strings.Join(text, "|")
	}
	whole := read(made.printed)
	if !contains(whole, "desk mix|desk mon|desk cue|", "|monitor matrix in|") {
		t.Errorf("on the strips stands %q", whole)
	}
	if near := read(made.near(16, 19, pitchOf(main))); !contains(near, "desk mix", "16|", "|L|R|L") {
		t.Errorf("from near by stands %q", near)
	}
	// On the screen a long run has its name again where a narrow one would not show it.
	if n := strings.Count(string(made.html), "</title>interface out</text>"); n != 2 {
		t.Errorf("over sixteen jacks stands their gear %d times", n)
	}
	if again := p.strips.of(main); again != made {
		t.Error("the strips were made twice")
	}
}

// stripsFit fails where a name on a strip reaches beyond its frame.
func stripsFit(t *testing.T, v *visitor) {
	t.Helper()
	const beyond = `[...document.querySelectorAll(".bay .strip, .close .strip")].flatMap((strip) => {
		const bars = [...strip.querySelectorAll("rect")].map((r) => r.getBBox());
		return [...strip.querySelectorAll("text:not(.bold)")].filter((text) => {
			const b = text.getBBox();
			return !bars.some((r) => b.x >= r.x - 0.2 && b.x + b.width <= r.x + r.width + 0.2);
		}).map((text) => text.textContent);
	}).join(", ")`
	v.until(`document.fonts.status === "loaded" && document.querySelectorAll(".bay .strip").length > 2`)
	if text := v.value(beyond); text != "" {
		t.Errorf("names reach beyond their strips: %s", text)
	}
}
