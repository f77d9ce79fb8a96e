package words

import (
	"slices"
	"strings"
	"time"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// Happened is one line of the history.
type Happened struct {
	At   time.Time
	Text string
}

// History are events in words, the oldest first. What one step of a matrix went
// through, about to be sent, sent, read back, is one line: how far it came. With names
// of places as files have them, so that they can be looked for. Title gives a session's
// title by its name; nil shows names.
func History(events []keep.Event, title func(session string) string) []Happened {
	var all []Happened
	folded := Folded(events)
	for i, e := range folded {
		text := happened(e, title)
		if i > 0 && Answers(e, folded[i-1]) {
			text = ReplannedForThat
		}
		if e.By != "" {
			text += " (" + Clean(e.By) + ")"
		}
		all = append(all, Happened{e.At, text})
	}
	return all
}

// ReplannedForThat follows a report on account of which a plan was made anew.
const ReplannedForThat = "re-planned for that"

// Answers says whether a plan was made anew on account of just what was reported
// before it, so that it need not be said twice.
func Answers(e, before keep.Event) bool {
	return e.Kind == keep.Replanned && before.Kind == keep.PersonDid && strings.HasSuffix(e.Text, ": "+before.Text)
}

// Folded are the events without those of which a later one tells more, and those that
// only repeat what was read: one for each switching.
func Folded(events []keep.Event) []keep.Event {
	var all []keep.Event
	for i, e := range events {
		if !superseded(e, events[i+1:]) && !repeats(e, events[:i]) {
			all = append(all, e)
		}
	}
	return all
}

// superseded says whether a later event tells more of the same switching.
func superseded(e keep.Event, later []keep.Event) bool {
	if e.Step == nil || e.Kind != keep.Sending && e.Kind != keep.WasSent {
		return false
	}
	return slices.ContainsFunc(later, func(l keep.Event) bool {
		return sameStep(e, l) && (l.Kind == keep.WasRead || l.Kind == keep.WasSent && e.Kind == keep.Sending)
	})
}

func sameStep(a, b keep.Event) bool {
	return a.Step != nil && b.Step != nil && a.Recall == b.Recall && a.Step.ID == b.Step.ID && a.Matrix == b.Matrix
}

// repeats says whether a device was read to hold just what the step before it was read
// to have switched.
func repeats(e keep.Event, before []keep.Event) bool {
	if e.Kind != keep.WasRead || e.Step != nil || len(before) == 0 {
		return false
	}
	last := before[len(before)-1]
	if last.Kind != keep.WasRead || last.Step == nil || last.Matrix != e.Matrix {
		return false
	}
	return !slices.ContainsFunc(e.Changes, func(c plan.Change) bool {
		return c.Input != c.Was && !slices.ContainsFunc(last.Step.Crosspoints, func(s plan.Change) bool { return s.Output == c.Output && s.Input == c.Input })
	})
}

func happened(e keep.Event, title func(session string) string) string {
	switch e.Kind {
	case keep.Sending:
		return Put("{step}: about to be sent", "step", stepOf(e))
	case keep.WasSent:
		return Put("{step}: sent, not confirmed", "step", stepOf(e))
	case keep.WasRead:
		if e.Step != nil {
			return Put("{step}: {outcome}", "step", stepOf(e), "outcome", ReadBack(e))
		}
		return Put("{matrix}: read back: {changes}", "matrix", Clean(e.Matrix), "changes", changed(e))
	case keep.StepDone:
		return Put("{step}: done", "step", stepOf(e))
	case keep.StepNot:
		return Put("{step}: not done after all", "step", stepOf(e))
	case keep.PersonDid:
		if e.Step != nil {
			return Put("reported: {what}", "what", reported(*e.Step))
		}
		return Put("reported: {what}", "what", Clean(e.Text))
	case keep.Replanned:
		return Clean(strings.Replace(e.Text, "the way was made anew: ", "re-planned: ", 1)) // older journals
	case keep.Recalled:
		return recalled(e, title)
	case keep.WasGiven:
		return Put("{session}: ready", "session", Called(e.Session, title))
	case keep.Drifted:
		return Put("{matrix}: changed at the device: {change}", "matrix", Clean(e.Matrix), "change", Clean(e.Text))
	case keep.Pruned:
		return Put("history: {what}", "what", Clean(e.Text))
	case keep.Trouble:
		return Put("problem: {what}", "what", Clean(e.Text))
	}
	return Clean(string(e.Kind) + ": " + e.Text)
}

// ReadBack is what came of a step that a device was asked about after it was sent: what was
// sent is what the device holds, or the device says otherwise.
func ReadBack(e keep.Event) string {
	reads, unclear := e.Otherwise()
	if len(reads)+len(unclear) == 0 {
		return "sent, read back"
	}
	var all []string
	if len(reads) > 0 {
		all = append(all, changed(keep.Event{Changes: reads}))
	}
	if len(unclear) > 0 {
		all = append(all, Put("{outputs} cannot be understood", "outputs", strings.Join(name.Fold(unclear), ", ")))
	}
	return Put("sent, but the device reports otherwise: {changes}", "changes", strings.Join(all, ", "))
}

// recalled names the session of a recall by its title, with the name by which it is
// recalled again beside it. An undo tells of more than one, by their names.
func recalled(e keep.Event, title func(session string) string) string {
	called := Clean(e.Session)
	text := Clean(e.Text)
	if was, ok := strings.CutSuffix(text, " is recalled"); ok { // older journals
		text = Put("recalled {session}", "session", was)
	}
	if said := Called(e.Session, title); said != called && text == Put("recalled {session}", "session", called) {
		return Put("recalled {title} ({session})", "title", said, "session", called)
	}
	return text
}

// reported is what a person did unasked: with the verbs of steps.
func reported(s plan.Step) string {
	if len(s.To) > 0 {
		return Put("{verb} {jacks} to {others}", "verb", Verb(s.Do), "jacks", join(s.Ends), "others", join(s.To))
	}
	return Put("{verb} {jacks}", "verb", Verb(s.Do), "jacks", join(s.Ends))
}

// stepOf names a step with all that it is about: where a plug was and where it went.
func stepOf(e keep.Event) string {
	s := *e.Step
	text := "step {id}: {verb} {what}"
	switch {
	case s.By != plan.Person && e.Matrix == "" && (e.Kind == keep.StepDone || e.Kind == keep.StepNot):
		text = "step {id}: {verb} {what} at {matrix}" // it has no device: a person did
	case s.By != plan.Person:
		text = "step {id}: {matrix} switches {what}"
	}
	var what []string
	if len(s.Ends) > 0 {
		what = append(what, Names(s))
	}
	for _, c := range s.Crosspoints {
		what = append(what, crosspoint(c))
	}
	return strings.TrimRight(Put(text, "id", Clean(s.ID), "verb", Verb(s.Do), "matrix", Clean(s.By), "what", strings.Join(what, ", ")), " ")
}

// changed is what a device was newly read to hold; what it says itself where that is
// not known by outputs.
func changed(e keep.Event) string {
	var off []name.Point
	var phrases []string
	for _, c := range e.Changes {
		if c.Input.IsZero() {
			off = append(off, c.Output)
			continue
		}
		phrases = append(phrases, crosspoint(c))
	}
	if len(off) > 0 {
		phrases = append(phrases, Put("{outputs} off", "outputs", strings.Join(name.Fold(off), ", ")))
	}
	if len(phrases) == 0 {
		return Clean(strings.TrimPrefix(e.Text, "read: "))
	}
	return strings.Join(phrases, ", ")
}

// crosspoint is source before destination: in5 -> out3.
func crosspoint(c plan.Change) string {
	if c.Input.IsZero() {
		return Put("{output} off", "output", c.Output.Port())
	}
	return c.Input.Port() + " -> " + c.Output.Port()
}
