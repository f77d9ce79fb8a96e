package words

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// Missing is what a session asks for and cannot have, with why, in the words of the gear:
// "synth/out1-2 -> main/t3" is "Synthesizer out 1-2 -> main 3 top". What is of one line and
// has one reason stands together, and all is safe to print in a line.
func (w *Places) Missing(all []plan.Missing) []plan.Missing {
	all = plan.Merged(all)
	for i, m := range all {
		all[i].Want, all[i].Because = w.Said(m.Want), w.Said(m.Because)
	}
	return all
}

// ranges has the ranges and lists of ports and jacks in a sentence in words: "organ out 1-2",
// "main 9-12,14 bottom". Places that the studio does not have stay.
func (w *Places) ranges(sentence string) string {
	return named.ReplaceAllStringFunc(sentence, func(text string) string {
		bare := strings.TrimRight(text, ".")
		points, err := name.List(bare)
		if err != nil || len(points) < 2 || !w.known[points[0].Owner] || w.labelled(points) {
			return text
		}
		whole, number := w.Point(points[0]), strconv.Itoa(points[0].Number)
		at, numbers := strings.LastIndex(whole, number), numbersAt.FindString(bare[strings.Index(bare, "/"):])
		if at < 0 || numbers == "" {
			return text
		}
		return whole[:at] + numbers + whole[at+len(number):] + text[len(bare):]
	})
}

// numbersAt finds the numbers of a range or list, which stand before the part of an insert.
var numbersAt = regexp.MustCompile(`[0-9]+(?:[,-][0-9]+)+`)

// rows finds jacks of the top row of a bay that are followed by others of its bottom row.
var rows = regexp.MustCompile(`\b([a-z][a-z0-9-]*)/t([0-9]+(?:[,-][0-9]+)*), ([a-z][a-z0-9-]*)/b([0-9]+(?:[,-][0-9]+)*)`)

// columns has the top and the bottom jacks of the same columns together: "main 21-22, top
// and bottom". Where a bay has its rows named otherwise, they stay apart.
func (w *Places) columns(sentence string) string {
	return rows.ReplaceAllStringFunc(sentence, func(text string) string {
		part := rows.FindStringSubmatch(text)
		bay, numbers := part[1], part[2]
		if !w.bays[bay] || w.rows[bay] != [2]string{} || part[3] != bay || part[4] != numbers {
			return text
		}
		return Put("{jacks}, top and bottom", "jacks", parted(w.Owner(bay), numbers))
	})
}

// labelled says whether ports have labels of their own, which do not count on.
func (w *Places) labelled(points []name.Point) bool {
	return slices.ContainsFunc(points, func(p name.Point) bool { return w.ports[p] != "" })
}
