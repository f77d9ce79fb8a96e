// Package words says in a person's words what the model says in names: the
// place main/t1 is "main 1 top", interface/out7 is "interface out 7", and a
// step of a plan is a sentence for whoever stands at the bay.
//
// Labels of the studio are used where there are any, since they are what people
// read on the gear; rows of a bay that have printed names keep them ("main a7").
//
// The package only words what it is given. It computes no routing, knows no
// clock and reads no file, and what is printed, spoken or drawn with the words is
// the business of paper and page.
package words

import (
	"strings"
	"unicode"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/model/text"
	"bayhand/recall/keep"
)

// Words says what happens in one studio. It is immutable and safe for
// concurrent use.
type Words struct {
	Places
	studio *studio.Studio
	rear   map[name.Point]rear
	// cables are the names of cables at the rear, by their ends either way round.
	cables map[[2]name.Point]string
	// labels are the names of a session's lines, by their destinations.
	labels map[name.Point]string
	// numbers are those on cords that are in, by their ends.
	numbers []keep.KnownCord
}

// In prepares the words of a studio; a nil studio has no labels. It takes time
// linear in the size of the studio.
func In(s *studio.Studio) *Words {
	if s == nil {
		s = &studio.Studio{}
	}
	w := &Words{Places: placesOf(s), studio: s, rear: map[name.Point]rear{}, cables: map[[2]name.Point]string{}}
	w.wire()
	return w
}

// List joins phrases as a sentence does: "a", "a and b", "a, b and c".
func List(phrases []string) string {
	switch n := len(phrases); n {
	case 0:
		return ""
	case 1:
		return phrases[0]
	default:
		return Put("{all} and {last}", "all", strings.Join(phrases[:n-1], ", "), "last", phrases[n-1])
	}
}

// Clean makes a label safe to print in a line: a character that steers the
// terminal or turns the direction of what follows is shown as U+FFFD, and any
// white space as one space.
func Clean(label string) string {
	label = strings.Join(strings.Fields(label), " ")
	return strings.Map(func(r rune) rune {
		if text.Obeyed(r) {
			return unicode.ReplacementChar
		}
		return r
	}, strings.ToValidUTF8(label, string(unicode.ReplacementChar)))
}
