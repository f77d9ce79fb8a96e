package words

import (
	"maps"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Places are the names of what stands in one studio, as they are printed on it. It is
// immutable and safe for concurrent use.
type Places struct {
	owners map[string]string
	ports  map[name.Point]string
	rows   map[string][2]string
	// known are the names of everything, bays those of bays.
	known, bays map[string]bool
	directions  map[name.Point]studio.Direction
	// mutes are the switches of loudspeakers and headphones, by their names.
	mutes map[string]string
	// shorts are the labels for where the whole ones do not fit.
	shorts shorts
}

func placesOf(s *studio.Studio) Places {
	w := Places{
		owners: map[string]string{}, ports: map[name.Point]string{}, rows: map[string][2]string{},
		known: map[string]bool{}, bays: map[string]bool{},
		directions: map[name.Point]studio.Direction{}, mutes: map[string]string{},
		shorts: shorts{map[string]string{}, map[name.Point]string{}},
	}
	for _, g := range s.Gear {
		w.gear(g)
		w.shorts.owner(g.Name, g.Short)
		for _, p := range g.Ports {
			w.shorts.port(p.Point, p.Short)
		}
	}
	for _, b := range s.Bays {
		w.label(b.Name, b.Label)
		w.shorts.owner(b.Name, b.Short)
		w.rows[b.Name] = b.Rows
		w.bays[b.Name] = true
	}
	for _, b := range s.Boxes {
		w.label(b.Name, b.Label)
	}
	for _, m := range s.Matrices {
		w.label(m.Name, m.Label)
	}
	return w
}

// with are the names where gear came; gear that had one of its names is gone.
func (w *Places) with(gear []studio.Gear) Places {
	with := *w
	with.owners, with.ports, with.known = maps.Clone(w.owners), maps.Clone(w.ports), maps.Clone(w.known)
	with.directions, with.mutes = maps.Clone(w.directions), maps.Clone(w.mutes)
	came := map[string]bool{}
	for _, g := range gear {
		came[g.Name] = true
		delete(with.owners, g.Name)
		delete(with.mutes, g.Name)
	}
	maps.DeleteFunc(with.ports, func(p name.Point, _ string) bool { return came[p.Owner] })
	maps.DeleteFunc(with.directions, func(p name.Point, _ studio.Direction) bool { return came[p.Owner] })
	for _, g := range gear {
		with.gear(g)
	}
	return with
}

// gear takes in the labels of a piece of gear and its ports.
func (w *Places) gear(g studio.Gear) {
	w.label(g.Name, g.Label)
	w.mutes[g.Name] = Clean(g.Mute.At)
	for _, p := range g.Ports {
		w.directions[p.Point] = p.Direction
		if p.Label != "" {
			w.ports[p.Point] = Clean(p.Label)
		}
	}
}

// direction of a port of gear, as the studio has it.
func (w *Places) direction(p name.Point) studio.Direction { return w.directions[p] }

// MuteAt says where a person mutes a loudspeaker or headphone: the switch that
// the studio names, or empty where it names none.
func (w *Places) MuteAt(p name.Point) string { return w.mutes[p.Owner] }

func (w *Places) label(owner, label string) {
	w.known[owner] = true
	if label != "" {
		w.owners[owner] = Clean(label)
	}
}

// Owner is the label of a piece of gear, a bay or a matrix, or its name where
// it has none.
func (w *Places) Owner(owner string) string {
	if label, ok := w.owners[owner]; ok {
		return label
	}
	return Clean(owner)
}

// Point is a place in words: "main 1 top", "interface out 7", "desk insert 1
// send". The zero Point is "nowhere".
func (w *Places) Point(p name.Point) string {
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
func (w *Places) Port(p name.Point) string {
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

func (w *Places) jack(p name.Point) string {
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
func (w *Places) Run(first name.Point, last int) string {
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
func (w *Places) Points(points []name.Point) string {
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
