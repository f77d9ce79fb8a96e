package plan_test

import (
	"strings"
	"testing"

	"bayhand/model/plan"
)

// Each objective reads back from its word, no word is the usual one, and a wrong
// word is told the right ones.
func TestPrefer(t *testing.T) {
	for i, word := range plan.Preferences() {
		p, err := plan.ParsePrefer(word)
		if err != nil || p != plan.Prefer(i) || p.String() != word {
			t.Errorf("%q is read as %v (%v)", word, p, err)
		}
	}
	if p, err := plan.ParsePrefer(""); p != plan.PreferSame || err != nil {
		t.Errorf("no word is read as %v (%v)", p, err)
	}
	if _, err := plan.ParsePrefer("cheapest"); err == nil || !strings.Contains(err.Error(), "same, plain or fewest") {
		t.Errorf("a wrong word: %v", err)
	}
	if word := plan.Prefer(9).String(); word != "unknown" {
		t.Errorf("an objective that is none is called %q", word)
	}
}
