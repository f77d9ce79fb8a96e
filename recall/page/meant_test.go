package page

import (
	"regexp"
	"testing"

	"bayhand/recall/keep"
)

// Each form that ticks a step, or takes it back, says with its number what the step does
// that the page showed, and so does the view of one move.
func TestTicksSayWhatTheStepDoes(t *testing.T) {
	f := &fake{status: status(t)}
	h := served(t, f)
	does := map[string]string{}
	for _, s := range f.status.Left {
		does[s.ID] = keep.MeansOf(s)
	}
	for _, d := range f.status.Done {
		does[d.ID] = keep.MeansOf(d.Step)
	}
	ticks := regexp.MustCompile(`name="do" value="(?:done|not-done)"><input type="hidden" name="id" value="([^"]*)">(?:<input type="hidden" name="means" value="([^"]*)">)?`)
	faces := regexp.MustCompile(`data-step="([^"]*)"(?: data-means="([^"]*)")?`)
	for at, forms := range map[string]*regexp.Regexp{"/": ticks, "/hands": faces} {
		_, html := get(t, h, at)
		found := forms.FindAllStringSubmatch(html, -1)
		if len(found) == 0 {
			t.Errorf("%s ticks nothing", at)
		}
		for _, one := range found {
			if one[2] == "" || one[2] != does[one[1]] {
				t.Errorf("%s: step %s is said to do %q, and does %q", at, one[1], one[2], does[one[1]])
			}
		}
	}
	ask(t, h, form(t, "token", token, "do", "done", "id", "2", "means", "0123456789ab"))
	if len(f.acts) != 1 || f.acts[0].Means != "0123456789ab" {
		t.Errorf("the room was told %+v", f.acts)
	}
}
