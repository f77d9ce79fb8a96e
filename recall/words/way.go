package words

import (
	"strings"

	"bayhand/model/heard"
)

// Way is one way of a signal in words: "from interface out 1, at main 1 top,
// through the normal, at main 1 bottom, to desk in 1". It is empty for a way
// without steps.
func (w *Words) Way(way heard.Way) string {
	if len(way.Steps) == 0 {
		return ""
	}
	phrases := []string{"from " + w.Point(way.Steps[0].Point)}
	for i, step := range way.Steps[1:] {
		phrases = append(phrases, through(step.By)...)
		preposition := "at "
		if i == len(way.Steps)-2 {
			preposition = "to "
		}
		phrases = append(phrases, preposition+w.Point(step.Point))
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
		return []string{"through the " + by}
	case heard.ByTie:
		return []string{"along the tie"}
	}
	return []string{"by a " + by}
}
