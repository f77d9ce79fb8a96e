package page

import (
	"strings"
	"testing"
	"time"

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
