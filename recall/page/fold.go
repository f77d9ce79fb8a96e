package page

import (
	"cmp"
	"slices"

	"bayhand/recall/keep"
	"bayhand/recall/words"
)

// recalled is one recall of the history, with all that came of it until the next one;
// the steps stand folded behind its line.
type recalled struct {
	// Seq is the number of its first event.
	Seq uint64
	// When and What are the line; Name is the session's, where its title is another.
	When, What, Name, Who string
	// Outcome is how far it came.
	Outcome string
	// Events are the newest first.
	Events []event
}

// shown is how many events are looked at for one page, before they are folded.
const shown = 300

// past folds the events before a number into recalls, the newest first; 0 is all. A
// recall that the page has not room for comes on the next one.
func (h historyHandler) past(v *happenedView, before uint64) error {
	if h.page.History == nil {
		return nil
	}
	events, err := h.page.History(keep.Query{Before: before, Last: shown})
	if err != nil || len(events) == 0 {
		return err
	}
	first := events[0].Seq
	var all []recalled
	for _, run := range runs(words.Folded(events)) {
		all = append(all, h.recalled(run))
	}
	if first > 1 && len(all) > 0 {
		v.Older = first
		if len(all) > 1 && all[0].What == earlier {
			v.Older, all = all[1].Seq, all[1:]
		}
	}
	slices.Reverse(all)
	v.Recalls = all
	return nil
}

// runs parts events where something was recalled.
func runs(events []keep.Event) [][]keep.Event {
	var all [][]keep.Event
	for i, e := range events {
		if i == 0 || e.Kind == keep.Recalled {
			all = append(all, nil)
		}
		all[len(all)-1] = append(all[len(all)-1], e)
	}
	return all
}

// earlier is said of events whose recall is not among those that were looked at.
const earlier = "What came before"

func (h historyHandler) recalled(run []keep.Event) recalled {
	head := run[0]
	r := recalled{Seq: head.Seq, When: h.page.clock(head.At), What: earlier, Outcome: outcome(run)}
	if head.Kind == keep.Recalled {
		r.What, r.Who = cmp.Or(h.page.title(head.Session), "no session"), words.Clean(head.By)
		if head.Session != r.What && head.Session != keep.RestName {
			r.Name = words.Clean(head.Session)
		}
		session := words.Clean(head.Session)
		if text := words.Clean(head.Text); text != words.Put("recalled {session}", "session", session) && text != words.Put("{session} is recalled", "session", session) {
			r.Outcome = text + "; " + r.Outcome
		}
	}
	for i, e := range slices.Backward(run) {
		text := h.told(e)
		if i > 0 && words.Answers(e, run[i-1]) {
			text = words.ReplannedForThat
		}
		if e.By != "" {
			text += " (" + words.Clean(e.By) + ")"
		}
		r.Events = append(r.Events, event{h.page.clock(e.At), text, string(e.Kind)})
	}
	return r
}

// outcome counts what came of a recall.
func outcome(run []keep.Event) string {
	done, given, trouble := map[string]bool{}, false, 0
	for _, e := range run {
		switch {
		case e.Kind == keep.WasGiven:
			given = true
		case e.Kind == keep.Trouble:
			trouble++
		case e.Step == nil:
		case e.Kind == keep.StepNot || contradicted(e):
			delete(done, e.Step.ID)
		case e.Kind == keep.StepDone || e.Kind == keep.WasRead || e.Kind == keep.WasSent:
			done[e.Step.ID] = true
		}
	}
	facts := []string{words.Count(len(done), "1 step done", "{n} steps done")}
	if given {
		facts = append(facts, "ready")
	}
	if trouble > 0 {
		facts = append(facts, words.Count(trouble, "1 problem", "{n} problems"))
	}
	return joinedFacts(facts...)
}

// contradicted says whether a device was read to hold something else than it was sent.
func contradicted(e keep.Event) bool {
	reads, unclear := e.Otherwise()
	return len(reads)+len(unclear) > 0
}
