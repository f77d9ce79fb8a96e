package problem

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/session"
)

// State is what a patch makes of the room.
func (t *Problem) State(d graph.Patch) *graph.State {
	var c graph.Contents
	for _, p := range d.Parts() {
		c.Add(t.Graph, p)
	}
	return t.Graph.Hear(c)
}

// WayOf is the way by which a want is heard; ok is false where it is not, or does
// not go the way that it asks for.
func (t *Problem) WayOf(s *graph.State, w session.Want) (way []graph.Step, ok bool) {
	node, source := t.Node[t.Number[w.Destination]], t.SourceOf[w.Source]
	way = s.WayFrom(node, source)
	return way, s.ComesTo(node) == source && t.goesRight(way, w.Via, w.Avoid)
}

// AsksForWays says whether any want asks for a way.
func (t *Problem) AsksForWays() bool {
	return slices.ContainsFunc(t.Session.Wants, func(w session.Want) bool { return len(w.Via)+len(w.Avoid) > 0 })
}

func (t *Problem) goesRight(way []graph.Step, via, avoid []string) bool {
	through := func(owner string) bool {
		return slices.ContainsFunc(way, func(s graph.Step) bool { return slices.Contains(t.OwnersOf(s.Part), owner) })
	}
	return !slices.ContainsFunc(via, func(o string) bool { return !through(o) }) && !slices.ContainsFunc(avoid, through)
}
