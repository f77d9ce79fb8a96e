package page

import (
	"fmt"
	"testing"

	"bayhand/recall/keep"
)

// Each recall is one line, and none is lost or told twice where a page ends.
func TestRecallsAreFolded(t *testing.T) {
	journal := &shelf{}
	var events []keep.Event
	for n := range 150 {
		called := fmt.Sprintf("s%d", n)
		events = append(events, keep.Event{Kind: keep.Recalled, Session: called, Text: called + " is recalled", By: "anna"},
			keep.Event{Kind: keep.PersonDid, Session: called, Text: "a cord is in"}, keep.Event{Kind: keep.WasGiven, Session: called, Text: "given"})
	}
	if err := journal.Write(keep.Memory{}, events); err != nil {
		t.Fatal(err)
	}
	p := newPage(Options{Studio: heron(t).Studio, History: journal.Find})
	seen, pages := map[string]int{}, 0
	for before := uint64(0); pages == 0 || before > 0; pages++ {
		v := &happenedView{}
		if err := (historyHandler{p}).past(v, before); err != nil {
			t.Fatal(err)
		}
		for _, r := range v.Recalls {
			seen[r.What]++
			if r.Who != "anna" || len(r.Events) != 3 || r.Outcome != "0 steps done, ready" {
				t.Fatalf("a line is %+v", r)
			}
		}
		if before = v.Older; pages > 20 {
			t.Fatal("the pages do not end")
		}
	}
	for called, n := range seen {
		if n != 1 {
			t.Errorf("%s stands %d times", called, n)
		}
	}
	if len(seen) != 150 || pages < 2 {
		t.Errorf("%d recalls on %d pages", len(seen), pages)
	}
}

// A report and the new plan on its account stand below each other, so the reason is
// said once; the newest event is first.
func TestReasonIsSaidOnce(t *testing.T) {
	p := newPage(Options{Studio: heron(t).Studio})
	faulty := keep.Event{Kind: keep.PersonDid, Text: "main/t13 is faulty", By: "anna"}
	replanned := keep.Event{Kind: keep.Replanned, Text: "re-planned: main/t13 is faulty"}
	other := keep.Event{Kind: keep.Replanned, Text: "re-planned: the files of mix changed"}
	got := (historyHandler{p}).recalled([]keep.Event{{Kind: keep.Recalled, Session: "mix", Text: "recalled mix"}, faulty, replanned, other}).Events
	for i, want := range []string{"re-planned: the files of mix changed", "re-planned for that", "main 13 top is faulty (anna)"} {
		if got[i].What != want {
			t.Errorf("line %d is %q, want %q", i, got[i].What, want)
		}
	}
}
