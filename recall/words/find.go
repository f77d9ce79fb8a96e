package words

import (
	"errors"
	"regexp"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Find is the point that a person names: by its name in files, the shortest that will do,
// or the words that are printed for it, such as main 7 top; in capital or small letters. The
// error says what there is instead, in the words that were used.
func Find(s *studio.Studio, typed string) (name.Point, error) {
	at, err := text.Resolve(s, typed)
	if err == nil {
		return at, nil
	}
	if small := strings.ToLower(typed); small != typed {
		if at, err := text.Resolve(s, small); err == nil || !strings.Contains(typed, " ") {
			return at, err
		}
	}
	w, points := In(s), pointsOf(s)
	same := func(p name.Point) bool { return strings.EqualFold(w.Point(p), typed) }
	if i := slices.IndexFunc(points, same); i >= 0 && !slices.ContainsFunc(points[i+1:], same) {
		return points[i], nil
	}
	if !strings.Contains(typed, " ") {
		return at, err
	}
	return name.Point{}, w.noSuch(points, typed)
}

// lastNumber is the last number in words, and what is around it.
var lastNumber = regexp.MustCompile(`^(.*?)(\d+)(\D*)$`)

// noSuch says for which numbers there are words like those typed, else which are spelt
// nearly so.
func (w *Words) noSuch(points []name.Point, typed string) error {
	around := func(words string) string { return strings.ToLower(lastNumber.ReplaceAllString(words, "$1 $3")) }
	var alike, begun []name.Point
	var all []string
	for _, p := range points {
		printed := w.Point(p)
		if strings.HasPrefix(strings.ToLower(printed), strings.ToLower(typed)+" ") {
			begun = append(begun, p)
		}
		if lastNumber.MatchString(typed) && around(printed) == around(typed) {
			alike = append(alike, p)
		}
		all = append(all, printed)
	}
	if len(begun) == 2 {
		return errors.New(phrase.Put("nothing in the studio is called {typed}; there are {first} and {last}", "typed", typed, "first", w.Point(begun[0]), "last", w.Point(begun[1])))
	}
	if len(alike) > 0 {
		first := slices.MinFunc(alike, name.Point.Compare)
		last := slices.MaxFunc(alike, name.Point.Compare)
		return errors.New(phrase.Put("nothing in the studio is called {typed}; there are {first} to {last}", "typed", typed, "first", w.Point(first), "last", w.Point(last)))
	}
	if near := phrase.Nearest(typed, all); near != "" {
		return errors.New(phrase.Put("nothing in the studio is called {typed}; did you mean {near}?", "typed", typed, "near", near))
	}
	return errors.New(phrase.Put("nothing in the studio is called {typed}", "typed", typed))
}

// pointsOf are the ports, jacks, sockets, inputs and outputs of a studio.
func pointsOf(s *studio.Studio) []name.Point {
	var all []name.Point
	for _, g := range s.Gear {
		for _, port := range g.Ports {
			all = append(all, port.Point)
		}
	}
	for _, b := range s.Bays {
		for n := range b.Pairs() {
			all = append(all, b.TopJack(n+1), b.BottomJack(n+1))
		}
	}
	for _, b := range s.Boxes {
		for n := range b.Sockets {
			all = append(all, b.Socket(n+1))
		}
	}
	for _, m := range s.Matrices {
		for n := range m.Inputs {
			all = append(all, m.In(n+1))
		}
		for n := range m.Outputs {
			all = append(all, m.Out(n+1))
		}
	}
	return all
}
