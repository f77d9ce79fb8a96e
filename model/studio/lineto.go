package studio

import (
	"slices"

	"bayhand/model/name"
)

// LineTo is a tie with a name, by which one room lends another a signal: a session of the
// room at From ends there, one of Room begins at To. Gear of the name stands for it, so
// that each session is planned, judged and ticked by itself; the pass of that gear says
// what is heard across both.
type LineTo struct {
	Name string
	// Room is the one that it leads to.
	Room string
	// From is the jack where it begins, To the one in Room where it arrives.
	From, To name.Point
	// Run is what is known of the cable; its source's end is at From.
	Run Run
	// Key is its place in the file, such as lines-to.live.tie1.
	Key string
}

// Tied are all ties by their cables, those that are lines to a room last.
func (s *Studio) Tied() []Tie {
	all := slices.Clone(s.Ties)
	for _, l := range s.LinesTo {
		all = append(all, Tie{A: l.From, B: l.To, Run: l.Run, Key: l.Key})
	}
	return all
}

// IsLineTo says whether gear of a name stands for a line to a room.
func (s *Studio) IsLineTo(name string) bool {
	return slices.ContainsFunc(s.LinesTo, func(l LineTo) bool { return l.Name == name })
}
