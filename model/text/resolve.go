package text

import (
	"errors"
	"fmt"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// Resolve finds the point that a person names: a port of gear, a jack or a port
// of a matrix. A jack needs no name before it where the studio has one bay, t3, or
// where only one bay has a row with that name on its panel, a3. The error says what
// there is instead.
func Resolve(s *studio.Studio, text string) (name.Point, error) {
	p, _, err := resolve(s, text)
	return p, err
}

// ResolveJack is Resolve for jacks of bays and sockets of boxes only.
func ResolveJack(s *studio.Studio, text string) (name.Point, error) {
	p, k, err := resolve(s, text)
	if err == nil && k != jack && k != socket {
		return name.Point{}, errors.New(phrase.Put("{point} is {kind}; a jack of a bay is wanted, such as {jack}", "point", p.String(), "kind", k.String(), "jack", anyJack(s)))
	}
	return p, err
}

func anyJack(s *studio.Studio) string {
	if len(s.Bays) == 0 {
		return "main/t1, and this studio has no bay"
	}
	return s.Bays[0].TopJack(1).String()
}

func resolve(s *studio.Studio, text string) (name.Point, kind, error) {
	x := newIndex(s)
	if p, ok := shortJack(s, text); ok {
		return x.resolve(p)
	}
	switch all := jacksCalled(s, text); {
	case x.has(text):
	case len(all) == 1 && all[0].Stem != studio.Top && all[0].Stem != studio.Bottom:
		return x.resolve(all[0])
	case len(all) > 1:
		var names []string
		for _, p := range all {
			names = append(names, p.String())
		}
		return name.Point{}, noPoint, fmt.Errorf("%s is a jack of several bays; write %s", text, oneOf(names))
	}
	p, err := name.Parse(text)
	if err != nil {
		return name.Point{}, noPoint, err
	}
	return x.resolve(p)
}

// resolve is find with its mistakes as errors.
func (x *index) resolve(p name.Point) (name.Point, kind, error) {
	q, k, l := x.find(p)
	if l != nil {
		return name.Point{}, noPoint, l.err()
	}
	return q, k, nil
}

func (l *lost) err() error {
	if l.hint == "" {
		return errors.New(l.message)
	}
	return errors.New(l.message + "; " + l.hint)
}

// shortJack reads t3 or b27 where the studio has one bay and nothing in it has
// that very name.
func shortJack(s *studio.Studio, text string) (name.Point, bool) {
	if len(s.Bays) != 1 || newIndex(s).has(text) {
		return name.Point{}, false
	}
	return jackCalled(s.Bays[0], text)
}

// jackCalled is the jack of a bay that a text such as t3 names without it.
func jackCalled(b studio.Bay, text string) (name.Point, bool) {
	points, err := name.Ports(b.Name, text)
	if err != nil || len(points) != 1 || points[0].Number == 0 || points[0].Part != name.Whole {
		return name.Point{}, false
	}
	switch points[0].Stem {
	case studio.Top, studio.Bottom, b.Rows[0], b.Rows[1]:
		return points[0], true
	}
	return name.Point{}, false
}

// jacksCalled are the jacks that a text such as t3 could name.
func jacksCalled(s *studio.Studio, text string) []name.Point {
	var all []name.Point
	for _, b := range s.Bays {
		if p, ok := jackCalled(b, text); ok && p.Number <= b.Pairs() {
			all = append(all, p)
		}
	}
	return all
}
