package heard

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
)

// Way is one way that a signal takes, point by point.
type Way struct {
	From, To name.Point
	Steps    []WayStep
}

// WayStep is a point on a way and what led to it; By is empty at the start.
type WayStep struct {
	Point name.Point
	By    string
}

// MaxWays is how many ways are looked for between two points: a knot of metal can
// hold more than anybody would read.
const MaxWays = 16

// maxPartial bounds the search for them.
const maxPartial = 20000

// Ways are the ways that end at a point, from each gear output heard there, and
// those that begin there, to each gear input that would hear it; shortest
// first, at most 16 for each pair of ends. A gear input begins none, and a gear
// output ends none unless it is joined to another.
func (s *State) Ways(p name.Point) []Way {
	at, ok := s.room.graph.Number[p]
	if !ok {
		return nil
	}
	edges := s.edges()
	var ways []Way
	for _, source := range s.Hears(p) {
		if source != p {
			ways = append(ways, s.between(s.room.graph.Number[source], at, edges)...)
		}
	}
	if s.room.graph.Kinds[at] == graph.GearInput {
		return ways
	}
	for _, destination := range s.Reaches(p) {
		ways = append(ways, s.between(at, s.room.graph.Number[destination], edges)...)
	}
	return ways
}

// edge leads to a point by some metal or an amplifier.
type edge struct {
	to int
	by string
}

func (s *State) edges() [][]edge {
	g := s.room.graph
	edges := make([][]edge, len(g.Points))
	both := func(j graph.Joint) {
		edges[j.A] = append(edges[j.A], edge{j.B, j.By})
		edges[j.B] = append(edges[j.B], edge{j.A, j.By})
	}
	for _, j := range g.FixedJoints {
		both(j)
	}
	for m, n := range g.Normals {
		if s.state.Holds(m) {
			both(graph.Joint{A: g.Jacks[n.A].Point, B: g.Jacks[n.B].Point, By: n.By})
		}
	}
	s.state.EachJoint(both)
	for _, o := range g.Amplifiers {
		for _, x := range s.state.Behind(o) {
			in := g.Crosses[x].Input
			edges[in] = append(edges[in], edge{g.Outputs[o].Point, ByCrosspoint})
		}
	}
	return edges
}

// partial is a way that has not arrived yet, as a list from its end.
type partial struct {
	at     int
	by     string
	before *partial
	length int
}

func (p *partial) visited(n int) bool {
	for ; p != nil; p = p.before {
		if p.at == n {
			return true
		}
	}
	return false
}

// between searches breadth first for ways that visit no point twice, within
// the points from which the end can be had at all.
func (s *State) between(from, to int, edges [][]edge) []Way {
	useful := leadingTo(to, edges)
	var ways []Way
	queue := []*partial{{at: from, length: 1}}
	for work := 0; len(queue) > 0 && work < maxPartial && len(ways) < MaxWays; work++ {
		p := queue[0]
		queue = queue[1:]
		if p.at == to {
			ways = append(ways, s.way(p))
			continue
		}
		for _, e := range edges[p.at] {
			if useful[e.to] && !p.visited(e.to) {
				queue = append(queue, &partial{e.to, e.by, p, p.length + 1})
			}
		}
	}
	return ways
}

func leadingTo(to int, edges [][]edge) []bool {
	behind := make([][]int, len(edges))
	for from, list := range edges {
		for _, e := range list {
			behind[e.to] = append(behind[e.to], from)
		}
	}
	useful := make([]bool, len(edges))
	useful[to] = true
	for queue := []int{to}; len(queue) > 0; queue = queue[1:] {
		for _, from := range behind[queue[0]] {
			if !useful[from] {
				useful[from] = true
				queue = append(queue, from)
			}
		}
	}
	return useful
}

// way writes a finished search down; the metal of a mult, which has no name, is
// left out.
func (s *State) way(end *partial) Way {
	steps := make([]WayStep, 0, end.length)
	for p := end; p != nil; p = p.before {
		if s.room.graph.Kinds[p.at] != graph.Hub {
			steps = append(steps, WayStep{s.room.graph.Points[p.at], p.by})
		}
	}
	slices.Reverse(steps)
	return Way{From: steps[0].Point, To: steps[len(steps)-1].Point, Steps: steps}
}
