package page

import (
	"html/template"
	"regexp"
	"strings"
	"testing"
)

func TestWholeParts(t *testing.T) {
	for sentence, want := range map[string]template.HTML{
		"in 3 -> out 2, off": `<span class="whole">in 3</span> <span class="whole">-&gt;</span> <span class="whole">out 2,</span> off`,
		"<b> & main 12 top":  `<span class="whole">&lt;b&gt;</span> &amp; <span class="whole">main 12 top</span>`,
		"nothing to plug":    "nothing to plug",
		"":                   "",
	} {
		if got := wholeParts(sentence); got != want {
			t.Errorf("%q is %s, want %s", sentence, got, want)
		}
	}
}

// No arrow that is read on the page can be broken by the end of a line. What is
// only read aloud is on no line.
func TestArrowsAreWhole(t *testing.T) {
	_, html := get(t, served(t, &fake{status: status(t)}), "/")
	whole, others := regexp.MustCompile(`<span class="(?:whole|unseen)">[^<]*</span>`), regexp.MustCompile(`<title>[^<]*</title>|<[^>]*>`)
	if !strings.Contains(html, `<span class="whole">-&gt;</span>`) {
		t.Error("the page has no arrow")
	}
	text := others.ReplaceAllString(whole.ReplaceAllString(html, ""), " ")
	if before, after, is := strings.Cut(text, "-&gt;"); is {
		t.Errorf("an arrow may be broken: %q -> %q", before[max(0, len(before)-80):], after[:min(len(after), 80)])
	}
}
