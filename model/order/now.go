package order

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// now is the room at some moment between the two patches. What it can be asked
// is about the surroundings of a point; it takes time linear in these.
type now struct {
	*heard.Live
	// amplifiers are the matrices that lead one way; listening are the outputs of
	// them that listen to each input.
	amplifiers map[string]bool
	listening  map[name.Point][]name.Point
}

func (a *arranger) now(p patch.Patch) *now {
	n := &now{Live: a.room.Live(p), amplifiers: a.amplifiers, listening: map[name.Point][]name.Point{}}
	n.listen(p, 1)
	return n
}

// amplifiersOf are the matrices of a studio in which crosspoints are no metal.
func amplifiersOf(s *studio.Studio) map[string]bool {
	found := map[string]bool{}
	for _, m := range s.Matrices {
		found[m.Name] = m.Kind != studio.Contacts
	}
	return found
}

// change takes out and puts in, as one change.
func (n *now) change(out, in patch.Patch) {
	n.Change(out, in)
	n.listen(out, -1)
	n.listen(in, 1)
}

func (n *now) listen(p patch.Patch, by int) {
	for _, c := range p.Crosspoints {
		outputs := n.listening[c.Input]
		at := slices.Index(outputs, c.Output)
		switch {
		case !n.amplifiers[c.Output.Owner]:
		case by > 0:
			n.listening[c.Input] = append(outputs, c.Output)
		case at >= 0:
			n.listening[c.Input] = slices.Delete(slices.Clone(outputs), at, at+1)
		}
	}
}

// run does a unit's events, unrun undoes them.
func (n *now) run(u *unit) {
	for _, e := range u.events {
		n.change(e.out, e.in)
	}
}

func (n *now) unrun(u *unit) {
	for i := len(u.events) - 1; i >= 0; i-- {
		n.change(u.events[i].in, u.events[i].out)
	}
}

// unrunAll undoes units that were done in this order.
func (n *now) unrunAll(order []*unit) {
	for i := len(order) - 1; i >= 0; i-- {
		n.unrun(order[i])
	}
}

// hears says whether a source is heard at a point.
func (n *now) hears(at, source name.Point) bool { return slices.Contains(n.Hears(at), source) }

// reaches are the inputs of gear that hear one of some points.
func (n *now) reaches(points []name.Point) []name.Point {
	if len(points) == 1 {
		return n.Reaches(points[0])
	}
	var all []name.Point
	for _, p := range points {
		all = append(all, n.Reaches(p)...)
	}
	slices.SortFunc(all, name.Point.Compare)
	return slices.Compact(all)
}
