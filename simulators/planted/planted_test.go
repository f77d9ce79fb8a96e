package planted_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"bayhand/simulators/planted"
)

// TestProperty is what the faults of the other test are planted for: it does nothing but make
// an overlay, by code that they spoil.
func TestProperty(t *testing.T) {
	if os.Getenv("BAYHAND_FAULTS") != "within" {
		return
	}
	f := planted.Fault{Title: "", File: "planted.go", Right: "package planted\n", Mistake: "package other\n"}
	read, err := os.ReadFile(strings.TrimSuffix(f.Overlay(t), ".json"))
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(read), "package other") {
		t.Error("the mistake is not in the overlay")
	}
}

// A fault that is found fails the test, one that is not leaves it, and a program that comes to
// no end is ended, and said to hang.
func TestRunEndsWhatHangs(t *testing.T) {
	t.Parallel()
	const once = "strings.Replace(string(source), f.Right, f.Mistake, 1)"
	for _, c := range []struct {
		title, mistake string
		fails, hangs   bool
	}{
		{"none", once, false, false},
		{"nothing is replaced", "strings.Replace(string(source), f.Right, f.Mistake, 0)", true, false},
		{"it goes round", "func() string {\n\t\tfor {\n\t\t}\n\t}()", true, true},
	} {
		t.Run(c.title, func(t *testing.T) {
			f := planted.Fault{Title: c.title, File: "planted.go", Right: once, Mistake: c.mistake}
			got := planted.Run(t, f.Overlay(t), "TestProperty", 10*time.Second, "BAYHAND_FAULTS=within")
			if (got.Err != nil) != c.fails || got.Hung != c.hangs {
				t.Errorf("%v, hung %t:\n%s", got.Err, got.Hung, got.Answer)
			}
		})
	}
}
