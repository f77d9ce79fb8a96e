package words

import (
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
)

// Way is one way of a signal in words, as a finger goes along the bay: "interface out
// 1 -> main 1 top -> normal -> main 1 bottom -> desk in 1". It is empty for a way
// without steps.
func (w *Words) Way(way heard.Way) string {
	if len(way.Steps) == 0 {
		return ""
	}
	hops := []string{w.Point(way.Steps[0].Point)}
	for i, step := range way.Steps[1:] {
		hops = append(hops, through(step.By)...)
		hops = append(hops, w.cable(way.Steps[i].Point, step.Point)...)
		hops = append(hops, w.Point(step.Point))
	}
	return strings.Join(hops, " -> ")
}

// through names what a signal goes through; a wire is how it comes to every
// jack, and is not worth a word.
func through(by string) []string {
	switch by {
	case heard.ByWire, "":
		return nil
	case heard.ByParallel:
		return []string{"parallel pair"}
	case heard.ByTie:
		return []string{"tie line"}
	}
	return []string{carrier(by)}
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
		return []string{Put("cable {number}", "number", called)}
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
			phrase = Put("{act} (the signal then comes another way)", "act", phrase)
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
		return Put("unplugging the {what} {one} - {other}", "what", carrier(b.By), "one", w.Point(b.At[0]), "other", w.Point(b.At[1]))
	case heard.Opening:
		return Put("opening the crosspoint {in} -> {out}", "in", w.Point(b.At[0]), "out", w.Point(b.At[1]))
	case heard.BreakUnknown:
	}
	return "something unknown"
}
