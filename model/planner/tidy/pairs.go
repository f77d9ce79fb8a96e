package tidy

import (
	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// Lines that belong together, as left and right do, come from outputs and go to inputs
// that follow each other. A hand has them side by side and in order wherever they go.

// beside are two jacks, in which the plugs of two such lines are at the same place of
// their ways.
type beside struct{ left, right int }

// besides finds the jacks of all lines that belong together. Ways of which the one has
// more cords than the other have nothing at the same place.
func besides(t *problem.Problem, d graph.Patch) []beside {
	number := map[[2]name.Point]session.Want{}
	for _, w := range t.Session.Wants {
		number[[2]name.Point{w.Source, w.Destination}] = w
	}
	state := t.State(d)
	var all []beside
	for _, w := range t.Session.Wants {
		next, ok := number[[2]name.Point{following(w.Source), following(w.Destination)}]
		if !ok || w.Source.Number == 0 || w.Destination.Number == 0 {
			continue
		}
		left, right := plugsOn(t, state, w), plugsOn(t, state, next)
		if len(left) != len(right) {
			continue
		}
		for i := range left {
			all = append(all, beside{left[i], right[i]})
		}
	}
	return all
}

func following(p name.Point) name.Point {
	p.Number++
	return p
}

// plugsOn are the jacks of the cords that a want is heard by, the destination's first.
func plugsOn(t *problem.Problem, state *graph.State, w session.Want) []int {
	way, ok := t.WayOf(state, w)
	if !ok {
		return nil
	}
	var jacks []int
	for _, s := range way {
		if s.Part.Kind != graph.Cord {
			continue
		}
		near, far := s.Part.A, s.Part.B
		if t.Jacks[near].Node == s.To {
			near, far = far, near
		}
		jacks = append(jacks, near, far)
	}
	return jacks
}

// disorder is how far two jacks are from being side by side and in order: 2 where they
// are in no order, 1 where others are between them.
func disorder(g *graph.Graph, b beside) int {
	left, right := g.Points[g.Jacks[b.left].Point], g.Points[g.Jacks[b.right].Point]
	switch {
	case left.Owner != right.Owner || left.Stem != right.Stem || right.Number <= left.Number:
		return 2
	case right.Number > left.Number+1:
		return 1
	}
	return 0
}

// moveBesides says where lines that belong together are once jacks are exchanged, and by
// how much they come out of order.
func (s *straightener) moveBesides(jacks map[int]int) (moved []beside, worse int) {
	to := func(j int) int {
		if k, ok := jacks[j]; ok {
			return k
		}
		return j
	}
	for _, b := range s.besides {
		now := beside{to(b.left), to(b.right)}
		if now != b {
			worse += disorder(s.Graph, now) - disorder(s.Graph, b)
		}
		moved = append(moved, now)
	}
	return moved, worse
}
