package words

import (
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
)

// Way is one way of a signal in words, as a finger goes along the bay: "from
// interface out 1, at main 1 top, through the normal, main 1 bottom, to desk in
// 1". It is empty for a way without steps.
func (w *Words) Way(way heard.Way) string {
	if len(way.Steps) == 0 {
		return ""
	}
	phrases := []string{Put("from {place}", "place", w.Point(way.Steps[0].Point))}
	for i, step := range way.Steps[1:] {
		by := append(through(step.By), w.cable(way.Steps[i].Point, step.Point)...)
		phrases = append(phrases, by...)
		phrase := "at {place}"
		switch {
		case i == len(way.Steps)-2:
			phrase = "to {place}"
		case len(by) > 0:
			phrase = "{place}"
		}
		phrases = append(phrases, Put(phrase, "place", w.Point(step.Point)))
	}
	return strings.Join(phrases, ", ")
}

// through names what a signal goes through; a wire is how it comes to every
// jack, and is not worth a word.
func through(by string) []string {
	switch by {
	case heard.ByWire, "":
		return nil
	case heard.ByNormal, heard.ByStrap, heard.ByCrosspoint, heard.ByMult, heard.ByParallel:
		return []string{Put("through the {what}", "what", by)}
	case heard.ByTie:
		return []string{"along the tie"}
	}
	return []string{Put("by a {what}", "what", carrier(by))}
}

// carrier names what a hand plugs: a cord, or the cable of gear that is on no bay.
func carrier(by string) string {
	if by == heard.ByLead {
		return "gear cable"
	}
	return by
}

// cable names the cable of a wire or tie, where the studio names it: it is what a
// person looks at when nothing arrives.
func (w *Words) cable(a, b name.Point) []string {
	if called := w.cables[[2]name.Point{a, b}]; called != "" {
		return []string{Put("through cable {number}", "number", called)}
	}
	return nil
}

// Breaks says what would end a way: "a plug in main 1 bottom, or pulling the cord
// main 1 top - main 25 bottom". It is empty for a way that nothing ends.
func (w *Words) Breaks(all []heard.Break) string {
	var phrases []string
	for _, b := range all {
		phrase := w.ending(b)
		if b.Leaves {
			phrase = Put("{act} (and then it comes another way)", "act", phrase)
		}
		phrases = append(phrases, phrase)
	}
	return strings.Join(phrases, ", or ")
}

func (w *Words) ending(b heard.Break) string {
	switch b.Do {
	case heard.Plugging:
		return Put("a plug in {jack}", "jack", w.Point(b.At[0]))
	case heard.Pulling:
		return Put("pulling the {what} {one} - {other}", "what", carrier(b.By), "one", w.Point(b.At[0]), "other", w.Point(b.At[1]))
	case heard.Opening:
		return Put("opening the crosspoint from {in} to {out}", "in", w.Point(b.At[0]), "out", w.Point(b.At[1]))
	case heard.BreakUnknown:
	}
	return "something unknown"
}
