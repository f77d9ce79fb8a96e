package order

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
)

// state is the room at some moment between the two patches. What it can be asked
// is about the surroundings of a point; it takes time linear in these.
type state struct {
	live *heard.Live
	// numbers is the same by number.
	numbers *graph.State
}

// change takes out and puts in, as one change.
func (s *state) change(out, in patch.Patch) {
	s.live.Change(out, in)
}

// numbered is an event by the numbers of the graph.
type numbered struct {
	out, in graph.Contents
	// at are the nodes of the points whose nets it may change, joined those of them at which a
	// net may have grown; jack is that of the plug, or graph.None.
	at, joined []int
	jack       int
}

// numbered gives an event its numbers.
func (s *state) numbered(e *event) *numbered {
	if e.numbers != nil {
		return e.numbers
	}
	g := s.numbers.Graph
	n := &numbered{out: g.Contents(e.out), in: g.Contents(e.in), at: nodesAt(g, e.at), joined: nodesAt(g, e.joined), jack: graph.None}
	if at, ok := g.Number[e.jack]; ok {
		n.jack = g.Node[at]
	}
	e.numbers = n
	return n
}

// numbersOf are those of some points, without those that the room does not have; never nil.
func numbersOf(g *graph.Graph, points []name.Point) []int {
	numbers := make([]int, 0, len(points))
	for _, p := range points {
		if n, ok := g.Number[p]; ok {
			numbers = append(numbers, n)
		}
	}
	return numbers
}

// nodesAt are the nodes of some points, each once, without those of points that the room does
// not have.
func nodesAt(g *graph.Graph, points []name.Point) []int {
	nodes := numbersOf(g, points)
	for i, p := range nodes {
		nodes[i] = g.Node[p]
	}
	slices.Sort(nodes)
	return slices.Compact(nodes)
}

// happen makes an event, revoke takes it back.
func (s *state) happen(e *event) {
	n := s.numbered(e)
	s.numbers.Change(n.out, n.in)
}

func (s *state) revoke(e *event) {
	n := s.numbered(e)
	s.numbers.Change(n.in, n.out)
}

// do makes the events of an action, undo takes them back.
func (s *state) do(a *action) {
	for i := range a.events {
		s.happen(&a.events[i])
	}
}

func (s *state) undo(a *action) {
	for i := len(a.events) - 1; i >= 0; i-- {
		s.revoke(&a.events[i])
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

// addReached adds to a list the inputs of gear that hear what is on the nets of some nodes, as
// points, each once.
func (s *state) addReached(nodes, inputs []int) []int {
	for _, n := range nodes {
		inputs = s.numbers.AddReached(n, inputs)
	}
	if len(nodes) > 1 {
		slices.Sort(inputs)
		inputs = slices.Compact(inputs)
	}
	return inputs
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
