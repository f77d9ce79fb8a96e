package page

import (
	"strings"
	"testing"

	"bayhand/recall/keep"
	"bayhand/recall/serve"
)

// On a phone the button for the next step stays in sight where the step itself is not: what it
// ticks stands on it, and it covers nothing that comes last, also with letters twice as large.
func TestBarSaysWhatItTicks(t *testing.T) {
	t.Parallel()
	h := build(t, heron(t))
	if _, err := h.keeper.Act(t.Context(), keep.Act{Do: keep.ToRecall, Session: "tern-mix-1"}); err != nil {
		t.Fatal(err)
	}
	v := visit(t, phone)
	v.letIn(h, serve.Recall)
	for _, letters := range []string{"100%", "200%"} {
		v.open(h, "/")
		v.js(`document.documentElement.style.fontSize = "` + letters + `"`)
		v.until(`document.querySelector("#tick-next .unseen").getBoundingClientRect().width > 40`)
		if wide := v.value(`String(document.documentElement.scrollWidth)`); wide != "390" {
			t.Errorf("with letters at %s the page is %s wide", letters, wide)
		}
		said := v.text("#tick-next")
		if !strings.HasPrefix(said, "Done: step 1, mute ") || !strings.Contains(said, v.value(`document.querySelector("#room").dataset.next`)) {
			t.Errorf("the button says %q", said)
		}
		v.js(`window.scrollTo(0, document.body.scrollHeight)`)
		v.until(`document.querySelector("#main").getBoundingClientRect().bottom <= document.querySelector(".ticks").getBoundingClientRect().top + 1`)
		v.shoot("bar-" + letters)
	}
	v.calm()
}
