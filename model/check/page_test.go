package check_test

import (
	"strings"
	"testing"

	"bayhand/model/check"
)

// The page of the manual is what the rules say of themselves.
func TestPage(t *testing.T) {
	var page strings.Builder
	if err := check.WritePage(&page); err != nil {
		t.Fatal(err)
	}
	compare(t, "../../cmd/bayhand/manual/findings.md", page.String())
	for _, r := range check.Rules() {
		if !strings.Contains(page.String(), "\n## "+r.Code+"\n") {
			t.Errorf("the page lacks %s", r.Code)
		}
	}
}
