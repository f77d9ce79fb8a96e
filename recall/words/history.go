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
// of places as files have them, so that they can be looked for.
func History(events []keep.Event) []Happened {
	var all []Happened
	for _, e := range Folded(events) {
		text := happened(e)
		if e.By != "" {
			text += " (" + Clean(e.By) + ")"
		}
		all = append(all, Happened{e.At, text})
	}
	return all
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

func happened(e keep.Event) string {
	switch e.Kind {
	case keep.Sending:
		return stepOf(e) + ": about to be sent"
	case keep.WasSent:
		return stepOf(e) + ": sent, not confirmed"
	case keep.WasRead:
		if e.Step != nil {
			return stepOf(e) + ": sent, read back"
		}
		return Clean(e.Matrix) + ": read back: " + changed(e)
	case keep.StepDone:
		return stepOf(e) + ": done"
	case keep.StepNot:
		return stepOf(e) + ": not done after all"
	case keep.PersonDid:
		return "reported: " + Clean(e.Text)
	case keep.Replanned:
		return "re-planned: " + Clean(strings.TrimPrefix(e.Text, "the way was made anew: "))
	case keep.Recalled:
		if called, ok := strings.CutSuffix(e.Text, " is recalled"); ok {
			return "recalled " + Clean(called)
		}
		return Clean(e.Text)
	case keep.WasGiven:
		return Session(e.Session) + ": ready"
	case keep.Drifted:
		return Clean(e.Matrix) + ": changed at the device: " + Clean(e.Text)
	case keep.Pruned:
		return "history: " + Clean(e.Text)
	case keep.Trouble:
		return "problem: " + Clean(e.Text)
	}
	return Clean(string(e.Kind) + ": " + e.Text)
}

// stepOf names a step with all that it is about: where a plug was and where it went.
func stepOf(e keep.Event) string {
	s := *e.Step
	text := "step " + Clean(s.ID) + ": " + Verb(s.Do)
	if s.By != plan.Person {
		text = "step " + Clean(s.ID) + ": " + Clean(s.By) + " switches"
	}
	if len(s.Ends) > 0 {
		text += " " + Names(s)
	}
	for i, c := range s.Crosspoints {
		if i > 0 {
			text += ","
		}
		text += " " + crosspoint(c)
	}
	return text
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
		phrases = append(phrases, strings.Join(name.Fold(off), ", ")+" off")
	}
	if len(phrases) == 0 {
		return Clean(strings.TrimPrefix(e.Text, "read: "))
	}
	return strings.Join(phrases, ", ")
}

// crosspoint is source before destination: in5 -> out3.
func crosspoint(c plan.Change) string {
	if c.Input.IsZero() {
		return c.Output.Port() + " off"
	}
	return c.Input.Port() + " -> " + c.Output.Port()
}
