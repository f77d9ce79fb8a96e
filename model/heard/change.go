package heard

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Change is a gear input that hears something else than before.
type Change struct {
	Input name.Point
	// Was and Is are the sources heard, sorted.
	Was, Is []name.Point
}

// Changes are the gear inputs that hear something else in another state of the
// same room, in the order of the studio.
func (s *State) Changes(after *State) []Change {
	var changes []Change
	for n, k := range s.room.graph.Kinds {
		if k != graph.GearInput {
			continue
		}
		in := s.room.graph.Points[n]
		if was, is := s.Hears(in), after.Hears(in); !slices.Equal(was, is) {
			changes = append(changes, Change{in, was, is})
		}
	}
	return changes
}

// Onward are all gear inputs that come after what a point reaches, through passes
// and the session's inside, sorted; those that it reaches directly among them.
func (s *State) Onward(from name.Point, inside []studio.Pass) []name.Point {
	n, ok := s.room.graph.Number[from]
	if !ok || s.state.TakenOver(n) {
		return nil
	}
	ahead := make([][]int, s.state.Nets())
	for _, f := range s.flows(inside, nil) {
		ahead[s.netOf(f.In)] = append(ahead[s.netOf(f.In)], s.netOf(f.Out))
	}
	var inputs []int
	s.walk(s.netOf(n), ahead, func(net int) { inputs = append(inputs, s.pick(net, graph.GearInput)...) })
	return s.names(slices.DeleteFunc(inputs, s.state.TakenOver))
}

// walk visits a net and all that it leads to, nearest first.
func (s *State) walk(from int, leads [][]int, visit func(net int)) {
	seen := map[int]bool{from: true}
	for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
		visit(queue[0])
		for _, to := range leads[queue[0]] {
			if !seen[to] {
				seen[to] = true
				queue = append(queue, to)
			}
		}
	}
}
