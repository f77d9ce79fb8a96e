// Package bench is a practice copy of a room. Cords are plugged, modes changed
// and crosspoints set on it, and it says at once what is heard then, which
// normals broke, and what a rule says of it.
//
// A setup is what stands on the bench: a patch, and the modes of pairs that
// differ from the studio's. An act changes one setup into another. An answer is
// what a setup does, compared with the setup that the bench began with. A lesson
// is a setup to begin with and some tasks, each with the test that says when it
// is done.
//
// A setup is a value that prints as the query of an address and is read back from
// it, so the bench is kept by the browser that it stands in, and going back there
// takes an act back. The package holds no room: nothing done here reaches a
// device, a file or anybody else, and it knows none of them.
package bench

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Most is how many cords, leads, dummies, crosspoints and changed modes a bench
// takes together.
const Most = 300

// Setup is what stands on the bench. Its lists are sorted but for the cords, which
// stand as they were plugged; Setups are compared by what they print.
type Setup struct {
	Patch patch.Patch
	Modes []Mode
	// Marks are the numbers of the cords, in the order of Patch.Cords: a cord keeps
	// its number while others come and go.
	Marks []int
}

// Mode is the mode of one pair where it is not the studio's.
type Mode struct {
	Bay    string
	Number int
	Mode   studio.Mode
}

func (m Mode) at() name.Point { return name.At(m.Bay, studio.Top, m.Number) }

// Begin is a bench with a patch on it, such as that of the room. One that is too
// large is refused.
func Begin(p patch.Patch) (Setup, error) {
	s := Setup{Patch: p.Clone()}
	// How long a cord is comes from what is owned, as for a new one.
	for i := range s.Patch.Cords {
		s.Patch.Cords[i].Length, s.Patch.Cords[i].Poles = 0, 0
		s.Marks = append(s.Marks, i)
	}
	s.sort()
	return s, s.small()
}

func (s Setup) small() error {
	p := s.Patch
	if n := len(p.Cords) + len(p.Leads) + len(p.Dummies) + len(p.Crosspoints) + len(s.Modes); n > Most {
		return fmt.Errorf("%d cords, plugs, crosspoints and modes are too many for the bench, which takes %d; begin with nothing plugged", n, Most)
	}
	return nil
}

func (s Setup) clone() Setup {
	return Setup{Patch: s.Patch.Clone(), Modes: slices.Clone(s.Modes), Marks: slices.Clone(s.Marks)}
}

// mark gives the cord that was plugged last the lowest number that is free.
func (s *Setup) mark() {
	mark := 0
	for slices.Contains(s.Marks, mark) {
		mark++
	}
	s.Marks = append(s.Marks, mark)
}

func (s *Setup) sort() {
	cords := s.Patch.Cords
	s.Patch.Cords = nil
	s.Patch.Sort()
	s.Patch.Cords = cords
	slices.SortFunc(s.Modes, func(a, b Mode) int { return a.at().Compare(b.at()) })
}

// Copy is the studio as it stands on the bench: with its modes, and with its patch
// as the room between sessions. It shares what is not changed, and must not be
// written to.
func (s Setup) Copy(of *studio.Studio) *studio.Studio {
	made := *of
	made.Rest = s.Patch
	made.Bays = slices.Clone(of.Bays)
	for i, b := range made.Bays {
		for _, m := range s.Modes {
			if m.Bay == b.Name && m.Number <= len(b.Modes) {
				if &made.Bays[i].Modes[0] == &b.Modes[0] {
					made.Bays[i].Modes = slices.Clone(b.Modes)
				}
				made.Bays[i].Modes[m.Number-1] = m.Mode
			}
		}
	}
	return &made
}

// In says what is plugged in a jack: a cord with its ends, a lead with its port
// and jack, a dummy with its jack; nil for nothing.
func (s Setup) In(jack name.Point) []name.Point {
	for _, c := range s.Patch.Cords {
		if slices.Contains(c.Ends(), jack) {
			return c.Ends()
		}
	}
	for _, l := range s.Patch.Leads {
		if l.Jack == jack || l.Port == jack {
			return []name.Point{l.Port, l.Jack}
		}
	}
	if slices.Contains(s.Patch.Dummies, jack) {
		return []name.Point{jack}
	}
	return nil
}
