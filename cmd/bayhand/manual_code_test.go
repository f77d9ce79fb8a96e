package main

import (
	"slices"
	"strings"
	"testing"

	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// Every problem that a room can have is in the manual by its code, and so is every
// state; every word for how a thing is known is in the glossary.
func TestManualExplainsWhatIsSaid(t *testing.T) {
	for _, c := range keep.Conditions {
		if text, ok := codeText(c.Code); !ok || len(text) < 80 {
			t.Errorf("bayhand manual %s says %q", c.Code, text)
		}
	}
	states, err := pageText(problemsName)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []keep.Phase{keep.Idle, keep.Pushing, keep.Waiting, keep.Given, keep.Stuck} {
		if !strings.Contains(states, "**"+words.Phase(p)+"**") {
			t.Errorf("the manual does not explain %q", words.Phase(p))
		}
	}
	glossary, err := pageText("glossary")
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range []keep.How{keep.Read, keep.Measured, keep.Told, keep.Sent, keep.Assumed, ""} {
		if !strings.Contains(glossary, "| "+words.How(h)+" |") {
			t.Errorf("the glossary does not have %q", words.How(h))
		}
	}
}

// A code is a section of a page and of nothing else; one that is both a finding and a
// problem has both texts.
func TestManualByCode(t *testing.T) {
	all := codes()
	if len(all) < 80 || !slices.Contains(all, "cord-too-short") || !slices.Contains(all, "no-answer") {
		t.Fatalf("the codes are %v", all)
	}
	for _, c := range all {
		text, ok := codeText(c)
		if !ok || !strings.HasPrefix(text, "# "+c+"\n\n") || strings.Contains(text[2:], "\n#") {
			t.Errorf("bayhand manual %s says %q", c, text)
		}
	}
	both, _ := codeText("not-given")
	if !strings.Contains(both, "--partly") || !strings.Contains(both, "This has the finding:") {
		t.Errorf("not-given says %s", both)
	}
	if _, ok := codeText("nothing-such"); ok {
		t.Error("a code that is none has a text")
	}
	index, err := pageText(findingsName)
	if err != nil || strings.Contains(index, "This has the finding:") || !strings.Contains(index, "bayhand manual CODE") {
		t.Errorf("%v; the index is %d characters", err, len(index))
	}
}
