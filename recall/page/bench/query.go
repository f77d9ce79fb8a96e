package bench

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// between stands between the two points of a cord, lead or crosspoint, and
// between a jack and its mode. No name holds it, and it stands in an address as it
// is (RFC 3986, 2.3).
const between = "~"

// Modes are those that a pair can be given, in the order of the lessons.
var Modes = []studio.Mode{studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop, studio.Isolated, studio.Parallel}

// ModeCalled is the mode of a word; unknown for any other.
func ModeCalled(word string) studio.Mode {
	for _, m := range Modes {
		if m.String() == word {
			return m
		}
	}
	return studio.ModeUnknown
}

// Values writes the setup as the query of an address. Nothing at all on the bench
// writes nothing.
func (s Setup) Values() url.Values {
	q := url.Values{}
	put := func(key string, items []string) {
		if len(items) > 0 {
			q.Set(key, strings.Join(items, ","))
		}
	}
	var cords, leads, dummies, points, modes []string
	for i, c := range s.Patch.Cords {
		cords = append(cords, strconv.Itoa(s.Marks[i])+between+joined(c.Ends()...))
	}
	for _, l := range s.Patch.Leads {
		leads = append(leads, joined(l.Port, l.Jack))
	}
	for _, d := range s.Patch.Dummies {
		dummies = append(dummies, d.String())
	}
	for _, c := range s.Patch.Crosspoints {
		points = append(points, joined(c.Output, c.Input))
	}
	for _, m := range s.Modes {
		modes = append(modes, m.at().String()+between+m.Mode.String())
	}
	put("cords", cords)
	put("leads", leads)
	put("dummies", dummies)
	put("points", points)
	put("modes", modes)
	return q
}

func joined(points ...name.Point) string {
	var texts []string
	for _, p := range points {
		texts = append(texts, p.String())
	}
	return strings.Join(texts, between)
}

// Read reads what Values wrote, by the same acts that a hand does, so that a setup
// that was typed is as sound as one that was touched. The first thing that does
// not fit is the error, and the setup holds what came before it.
func Read(of *studio.Studio, q url.Values) (Setup, error) {
	var s Setup
	for _, kind := range []struct {
		key string
		put func(*Setup, *studio.Studio, string) error
	}{
		{"modes", readMode}, {"cords", readCord}, {"leads", readEnds}, {"dummies", readDummy}, {"points", readPoint},
	} {
		text := q.Get(kind.key)
		if text == "" {
			continue
		}
		items := strings.Split(text, ",")
		if len(items) > Most {
			return s, fmt.Errorf("%d %s are too many for the bench, which takes %d", len(items), kind.key, Most)
		}
		for _, item := range items {
			if err := kind.put(&s, of, item); err != nil {
				return s, fmt.Errorf("the address of the bench has %s %q: %w", kind.key, item, err)
			}
		}
	}
	return s, nil
}

func readMode(s *Setup, of *studio.Studio, item string) error {
	jack, word, _ := strings.Cut(item, between)
	at, err := name.Parse(jack)
	if err != nil {
		return err
	}
	made, err := s.Turn(of, at, ModeCalled(word))
	*s = made
	return err
}

// readCord reads a cord with its number before it, which may be left out.
func readCord(s *Setup, of *studio.Studio, item string) error {
	first, rest, _ := strings.Cut(item, between)
	mark, err := strconv.Atoi(first)
	if err != nil {
		return readEnds(s, of, item)
	}
	if mark < 0 || mark >= Most || slices.Contains(s.Marks, mark) {
		return fmt.Errorf("its number is from 0 to %d, and no other cord's", Most-1)
	}
	before := len(s.Marks)
	if err := readEnds(s, of, rest); err != nil {
		return err
	}
	if len(s.Marks) > before {
		s.Marks[len(s.Marks)-1] = mark
	}
	return nil
}

func readEnds(s *Setup, of *studio.Studio, item string) error {
	ends, err := points(item)
	if err != nil {
		return err
	}
	var made Setup
	if len(ends) == 1 {
		made, err = s.after(s.bay(of).Hang(ends[0]))
	} else {
		made, err = s.Plug(of, ends[0], ends[1])
	}
	*s = made
	return err
}

func readDummy(s *Setup, of *studio.Studio, item string) error {
	at, err := name.Parse(item)
	if err != nil {
		return err
	}
	made, err := s.Dummy(of, at)
	*s = made
	return err
}

func readPoint(s *Setup, of *studio.Studio, item string) error {
	ends, err := points(item)
	switch {
	case err != nil:
		return err
	case len(ends) != 2:
		return fmt.Errorf("a crosspoint is an output and an input")
	}
	if has := (patch.Crosspoint{Output: ends[0], Input: ends[1]}); s.closed(has) {
		return fmt.Errorf("it stands there twice")
	}
	made, err := s.Cross(of, ends[0], ends[1])
	*s = made
	return err
}

func (s Setup) closed(c patch.Crosspoint) bool {
	for _, d := range s.Patch.Crosspoints {
		if c == d {
			return true
		}
	}
	return false
}

// points are one or two, with the sign between them.
func points(item string) ([]name.Point, error) {
	var all []name.Point
	for text := range strings.SplitSeq(item, between) {
		p, err := name.Parse(text)
		if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
	if len(all) > 2 {
		return nil, fmt.Errorf("it has %d points, and two are the most", len(all))
	}
	return all, nil
}
