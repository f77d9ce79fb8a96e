package order

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// state is the room at some moment between the two patches. What it can be asked
// is about the surroundings of a point; it takes time linear in these.
type state struct {
	live *heard.Live
	// listening are the outputs of amplifiers that listen to each input.
	listening  map[name.Point][]name.Point
	amplifiers map[string]bool
}

// change takes out and puts in, as one change.
func (s *state) change(out, in patch.Patch) {
	s.live.Change(out, in)
	s.listen(out, -1)
	s.listen(in, 1)
}

func (s *state) listen(p patch.Patch, by int) {
	for _, c := range p.Crosspoints {
		outputs := s.listening[c.Input]
		at := slices.Index(outputs, c.Output)
		switch {
		case !s.amplifiers[c.Output.Owner]:
		case by > 0:
			s.listening[c.Input] = append(outputs, c.Output)
		case at >= 0:
			s.listening[c.Input] = slices.Delete(slices.Clone(outputs), at, at+1)
		}
	}
}

// do makes the events of an action, undo takes them back.
func (s *state) do(a *action) {
	for _, e := range a.events {
		s.change(e.out, e.in)
	}
}

func (s *state) undo(a *action) {
	for i := len(a.events) - 1; i >= 0; i-- {
		s.change(a.events[i].in, a.events[i].out)
	}
}

// undoAll takes back actions that were done in this order.
func (s *state) undoAll(order []*action) {
	for i := len(order) - 1; i >= 0; i-- {
		s.undo(order[i])
	}
}

// hears says whether a source is heard at a point.
func (s *state) hears(at, source name.Point) bool { return slices.Contains(s.live.Hears(at), source) }

// reaches are the inputs of gear that hear one of some points.
func (s *state) reaches(points []name.Point) []name.Point {
	if len(points) == 1 {
		return s.live.Reaches(points[0])
	}
	var all []name.Point
	for _, p := range points {
		all = append(all, s.live.Reaches(p)...)
	}
	slices.SortFunc(all, name.Point.Compare)
	return slices.Compact(all)
}

// heardAt is what an input hears.
type heardAt struct {
	in      name.Point
	sources []name.Point
}

// heardFrom is what all inputs hear that hear one of some points.
func (s *state) heardFrom(points []name.Point) []heardAt {
	var all []heardAt
	for _, in := range s.reaches(points) {
		all = append(all, heardAt{in, s.live.Hears(in)})
	}
	return all
}

// contentionAt are the outputs that are joined on the net of one of some points.
func (s *state) contentionAt(points []name.Point) []name.Point {
	if !s.live.Contended() {
		return nil
	}
	for _, c := range s.live.Contentions() {
		if slices.ContainsFunc(points, func(p name.Point) bool { return s.live.Joined(p, c.Drivers[0]) }) {
			return c.Drivers
		}
	}
	return nil
}
