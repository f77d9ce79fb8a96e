package words

import (
	"maps"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// With are the words where gear came to the room beside the studio's, such as guests
// whose leads are in. Gear that the studio has under the same name is another piece.
func (w *Words) With(gear []studio.Gear) *Words {
	if len(gear) == 0 {
		return w
	}
	with := *w
	with.Places = w.Places.with(gear)
	return &with
}

// Of are the words while a session is set up: its guests have their labels, and what
// its lines carry has their names. A nil session has none.
func (w *Words) Of(s *session.Session) *Words {
	if s == nil {
		return w
	}
	of := *w.With(s.Guests)
	of.labels = orMake(maps.Clone(w.labels))
	for _, want := range s.Wants {
		if want.Label != "" {
			of.labels[want.Destination] = Clean(want.Label)
		}
	}
	return &of
}

func orMake(m map[name.Point]string) map[name.Point]string {
	if m == nil {
		return map[name.Point]string{}
	}
	return m
}

// called is the name of the line that a cord between two places, or a crosspoint
// between two ports, serves, judged by the destination wired right behind it; empty
// where the line has none, or the wiring does not tell.
func (w *Words) called(ends []name.Point) string {
	for _, p := range ends {
		if label := w.labels[p]; label != "" {
			return label
		}
		for _, to := range w.rear[p].leaves {
			if label := w.labels[to]; label != "" {
				return label
			}
		}
	}
	return ""
}

// lines are the names of the lines that a step serves: those that its plan says, else
// the one that the wiring right behind it tells.
func (w *Words) lines(s plan.Step, ends []name.Point) string {
	if len(s.Lines) == 0 {
		return w.called(ends)
	}
	var all []string
	for _, line := range s.Lines {
		all = append(all, Clean(line))
	}
	return strings.Join(all, ", ")
}

// labelled puts the name of a line before a phrase.
func labelled(label, phrase string) string {
	switch {
	case label == "":
		return phrase
	case phrase == "":
		return label
	}
	return label + ": " + phrase
}
