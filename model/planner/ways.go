package planner

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/clause"
	"bayhand/model/session"
)

// stateOf is what a patch makes of the room.
func (t *task) stateOf(d graph.Patch) *graph.State {
	var c graph.Contents
	for _, p := range d.Parts() {
		c.Add(t.Graph, p)
	}
	return t.Graph.Hear(c)
}

// wayOf is the way by which a want is heard; ok is false where it is not, or does
// not go the way that it asks for.
func (t *task) wayOf(s *graph.State, w session.Want) (way []graph.Step, ok bool) {
	node, source := t.Node[t.Number[w.Destination]], t.SourceOf[w.Source]
	way = s.WayFrom(node, source)
	return way, s.ComesTo(node) == source && t.goesRight(way, w.Via, w.Avoid)
}

// asksForWays says whether any want asks for a way.
func (t *task) asksForWays() bool {
	return slices.ContainsFunc(t.session.Wants, func(w session.Want) bool { return len(w.Via)+len(w.Avoid) > 0 })
}

func (t *task) goesRight(way []graph.Step, via, avoid []string) bool {
	through := func(owner string) bool {
		return slices.ContainsFunc(way, func(s graph.Step) bool { return slices.Contains(t.OwnersOf(s.Part), owner) })
	}
	return !slices.ContainsFunc(via, func(o string) bool { return !through(o) }) && !slices.ContainsFunc(avoid, through)
}

// refineWays refuses ways that a want asks to go otherwise.
func (e *encoding) refineWays(n *graph.State) bool {
	found := false
	for i, w := range e.task.session.Wants {
		if len(w.Via)+len(w.Avoid) == 0 || e.soft && !e.Value(e.wantLits[i]) {
			continue
		}
		way, ok := e.task.wayOf(n, w)
		if ok {
			continue
		}
		lits := []clause.Lit{e.wantLits[i].Not()}
		for _, s := range way {
			lits = append(lits, e.partLit(s.Part).Not())
		}
		e.Add(lits...)
		found = true
	}
	return found
}
