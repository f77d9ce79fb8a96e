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
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// Words names the places of one studio. It is immutable and safe for
// concurrent use.
type Words struct {
	studio *studio.Studio
	owners map[string]string
	ports  map[name.Point]string
	rows   map[string][2]string
	bays   map[string]bool
	known  map[string]bool
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
	w := &Words{
		studio: s,
		owners: map[string]string{},
		ports:  map[name.Point]string{},
		rows:   map[string][2]string{},
		bays:   map[string]bool{},
		known:  map[string]bool{},
		rear:   map[name.Point]rear{},
		cables: map[[2]name.Point]string{},
	}
	for _, g := range s.Gear {
		w.gear(g)
	}
	for _, b := range s.Bays {
		w.label(b.Name, b.Label)
		w.rows[b.Name] = b.Rows
		w.bays[b.Name] = true
	}
	for _, b := range s.Boxes {
		w.label(b.Name, b.Label)
	}
	for _, m := range s.Matrices {
		w.label(m.Name, m.Label)
	}
	w.wire()
	return w
}

// gear takes in the labels of a piece of gear and its ports.
func (w *Words) gear(g studio.Gear) {
	w.label(g.Name, g.Label)
	for _, p := range g.Ports {
		if p.Label != "" {
			w.ports[p.Point] = Clean(p.Label)
		}
	}
}

func (w *Words) label(owner, label string) {
	w.known[owner] = true
	if label != "" {
		w.owners[owner] = Clean(label)
	}
}

// Owner is the label of a piece of gear, a bay or a matrix, or its name where
// it has none.
func (w *Words) Owner(owner string) string {
	if label, ok := w.owners[owner]; ok {
		return label
	}
	return Clean(owner)
}

// Point is a place in words: "main 1 top", "interface out 7", "desk insert 1
// send". The zero Point is "nowhere".
func (w *Words) Point(p name.Point) string {
	if p.IsZero() {
		return "nowhere"
	}
	port := w.Port(p)
	if port == "" {
		return w.Owner(p.Owner)
	}
	return parted(w.Owner(p.Owner), port)
}

// parted joins an owner and a port. Two numbers do not run together: of the bay bay14
// the jack 21 is "bay14 jack 21 top".
func parted(owner, port string) string {
	last, _ := utf8.DecodeLastRuneInString(owner)
	first, _ := utf8.DecodeRuneInString(port)
	if unicode.IsDigit(last) && unicode.IsDigit(first) {
		return Put("{bay} jack {number}", "bay", owner, "number", port)
	}
	return owner + " " + port
}

// Port is a place in words without its owner: "1 top", "out 7".
func (w *Words) Port(p name.Point) string {
	if label, ok := w.ports[p]; ok {
		return label
	}
	if w.bays[p.Owner] && (p.Stem == studio.Top || p.Stem == studio.Bottom) {
		return w.jack(p)
	}
	var parts []string
	if p.Stem != "" {
		parts = append(parts, stem(p))
	}
	if p.Number > 0 {
		parts = append(parts, strconv.Itoa(p.Number))
	}
	if p.Part != name.Whole {
		parts = append(parts, strings.TrimPrefix(p.Part.String(), "."))
	}
	return strings.Join(parts, " ")
}

func stem(p name.Point) string {
	if p.Stem == "ins" && p.Part != name.Whole {
		return "insert"
	}
	return Clean(strings.ReplaceAll(p.Stem, "-", " "))
}

func (w *Words) jack(p name.Point) string {
	row, word := 0, "top"
	if p.Stem == studio.Bottom {
		row, word = 1, "bottom"
	}
	if printed := w.rows[p.Owner][row]; printed != "" {
		return Clean(printed) + strconv.Itoa(p.Number)
	}
	return strconv.Itoa(p.Number) + " " + word
}

// Run is a place and those counted on from it, up to the number last:
// "interface out 1 to 8", "main 41 to 44 top"; of those with labels of their own "desk
// mix L to mix R".
func (w *Words) Run(first name.Point, last int) string {
	text := w.Point(first)
	if last <= first.Number || first.Number == 0 {
		return text
	}
	end := first
	end.Number = last
	if w.ports[first] != "" || w.ports[end] != "" {
		return Put("{first} to {last}", "first", text, "last", w.Port(end))
	}
	number := strconv.Itoa(first.Number)
	run := Put("{first} to {last}", "first", number, "last", strconv.Itoa(last))
	// The number may stand before the row's word.
	at := strings.LastIndex(text, number)
	if at < 0 {
		return Put("{first} to {last}", "first", text, "last", strconv.Itoa(last))
	}
	return text[:at] + run + text[at+len(number):]
}

// Points are several places in one phrase, the owner said once where it is the
// same: "speakers in 1 and in 2".
func (w *Words) Points(points []name.Point) string {
	var phrases []string
	for i, p := range points {
		if i > 0 && p.Owner == points[i-1].Owner {
			phrases = append(phrases, w.Port(p))
			continue
		}
		phrases = append(phrases, w.Point(p))
	}
	return List(phrases)
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
func Clean(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || steersDirection(r) {
			return unicode.ReplacementChar
		}
		return r
	}, strings.ToValidUTF8(text, string(unicode.ReplacementChar)))
}

// steersDirection tells the embedding, override and isolate characters of the
// Unicode bidirectional algorithm (UAX #9, 2.1 to 2.4), with which one label
// could rearrange the whole line.
func steersDirection(r rune) bool {
	return r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
}
