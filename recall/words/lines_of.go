package words

import (
	"bayhand/model/name"
	"bayhand/model/session"
)

// Of are the words while a session is set up: what its lines carry has their names.
// A nil session has none.
func (w *Words) Of(s *session.Session) *Words {
	if s == nil {
		return w
	}
	of := *w
	of.labels = map[name.Point]string{}
	for _, want := range s.Wants {
		if want.Label != "" {
			of.labels[want.Destination] = Clean(want.Label)
		}
	}
	return &of
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

// labelled puts the name of the line that ends serve before a phrase.
func (w *Words) labelled(phrase string, ends []name.Point) string {
	label := w.called(ends)
	switch {
	case label == "":
		return phrase
	case phrase == "":
		return label
	}
	return label + ": " + phrase
}
