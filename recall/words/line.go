package words

import (
	"slices"
	"strings"

	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// Line is one step in words.
type Line struct {
	// ID is the step's, to tell that it is done.
	ID string
	// By is the matrix whose device does it; empty for a person.
	By string
	// Verb is what a person does, or "auto" where a device does it.
	Verb string
	// Action is where the hands go. What is switched at a matrix, by its device or by a
	// person, is in Switching.
	Action    Action
	Switching []string
	// Length of the cord, such as "30 cm", with what else tells it apart (Cord); empty
	// where there is none.
	Length string
	// Purpose is what the cord carries.
	Purpose string
	// After are the steps still to do that must be done before.
	After []string
	// Why is the reason that the plan gives, its places in words.
	Why string
	// Names are the places as files have them.
	Names string
}

// Lines words steps that are still to do, in their order. What is done already
// holds nothing back: a line waits only for steps among these.
func (w *Words) Lines(left []plan.Step) []Line {
	open := map[string]bool{}
	for _, s := range left {
		open[s.ID] = true
	}
	var all []Line
	for _, s := range left {
		l := w.Line(s)
		l.After = slices.DeleteFunc(slices.Clone(s.After), func(id string) bool { return !open[id] })
		all = append(all, l)
	}
	return all
}

// Line words one step; it waits for nothing.
func (w *Words) Line(s plan.Step) Line {
	l := Line{
		ID:        Clean(s.ID),
		Verb:      Verb(s.Do),
		Action:    w.Action(s),
		Switching: w.Switching(s),
		Purpose:   w.Purpose(s),
		Why:       w.Said(s.Because),
		Names:     Names(s),
	}
	if l.Purpose != "" && s.Do != plan.Switch && connects(l.Why) {
		l.Why = "" // the purpose says it in the words that stand on the gear
	}
	if keep.Driven(w.studio, s) {
		l.By, l.Verb = w.Owner(s.By), "auto"
	}
	l.Length = w.Cord(s.Length, s.Poles, s.Ends)
	return l
}

// connects says whether a reason is a connection that the step makes, and not one that
// it removes, restores or blocks.
func connects(why string) bool {
	verb, _, _ := strings.Cut(why, " ")
	return strings.Contains(why, " -> ") && !slices.Contains([]string{"removes", "restores", "blocks"}, verb)
}

// What is what a line does, in one line.
func (l Line) What() string {
	if l.By != "" {
		return Put("{matrix} switches", "matrix", l.By)
	}
	return l.Action.String()
}
