package heard

import (
	"slices"

	"gonum.org/v1/gonum/graph/multi"
	"gonum.org/v1/gonum/graph/topo"

	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Loop is a way from a net through gear and matrices back to itself: a howl
// when its gain is enough.
type Loop struct {
	// Through are the ports along one shortest round, in and out of each piece of
	// gear and each matrix in turn, beginning at the least of them.
	Through []name.Point
}

// Loops finds every knot of nets that feed themselves, through what gear
// passes, what the software carries (inside) and amplifiers; one shortest round
// of each knot, sorted. A loop through an allowed port is left out. It takes
// time linear in the room, and for each knot the square of its size.
func (s *State) Loops(inside []studio.Pass, allow []name.Point) []Loop {
	if !s.state.GoesRound(s.room.graph.Feedback(inside, allow), s.state.InUse()) {
		return nil
	}
	flows := s.flows(inside, allow)
	out := make(map[int][]graph.Pass)
	for _, f := range flows {
		out[s.netOf(f.In)] = append(out[s.netOf(f.In)], f)
	}
	var loops []Loop
	for _, knot := range s.knots(out) {
		loops = append(loops, Loop{s.round(knot, out)})
	}
	slices.SortFunc(loops, func(a, b Loop) int { return a.Through[0].Compare(b.Through[0]) })
	return loops
}

// flows are the directed ways between nets, through gear or an amplifier, as
// points.
func (s *State) flows(inside []studio.Pass, allow []name.Point) []graph.Pass {
	g := s.room.graph
	meant := func(p int) bool { return slices.Contains(allow, g.Points[p]) }
	var flows []graph.Pass
	add := func(p graph.Pass) {
		if !meant(p.In) && !meant(p.Out) && !s.state.TakenOver(p.In) {
			flows = append(flows, p)
		}
	}
	for _, p := range slices.Concat(g.Passes, g.Numbers(inside)) {
		add(p)
	}
	for _, o := range g.Amplifiers {
		for _, x := range s.state.Behind(o) {
			add(graph.Pass{In: g.Crosses[x].Input, Out: g.Outputs[o].Point})
		}
	}
	return flows
}

// knots are the strongly connected sets of nets that hold a cycle (Tarjan 1972).
func (s *State) knots(out map[int][]graph.Pass) [][]int {
	nets := multi.NewDirectedGraph()
	var found [][]int
	for from, flows := range out {
		for _, f := range flows {
			to := s.netOf(f.Out)
			nets.SetLine(nets.NewLine(multi.Node(from), multi.Node(to)))
		}
	}
	for _, set := range topo.TarjanSCC(nets) {
		knot := make([]int, len(set))
		for i, n := range set {
			knot[i] = int(n.ID())
		}
		if len(knot) > 1 || nets.HasEdgeFromTo(set[0].ID(), set[0].ID()) {
			found = append(found, knot)
		}
	}
	return found
}

// round is a shortest cycle within a knot, as ports.
func (s *State) round(knot []int, out map[int][]graph.Pass) []name.Point {
	// The numbers of nets depend on how the state came about; their first points
	// do not.
	slices.SortFunc(knot, func(a, b int) int { return s.first(a) - s.first(b) })
	within := map[int]bool{}
	for _, n := range knot {
		within[n] = true
	}
	var best []graph.Pass
	for _, start := range knot {
		if cycle := s.shortest(start, within, out); best == nil || len(cycle) < len(best) {
			best = cycle
		}
	}
	var ports []name.Point
	for _, f := range best {
		ports = append(ports, s.room.graph.Points[f.In], s.room.graph.Points[f.Out])
	}
	return rotate(ports)
}

// first is the least node of a net.
func (s *State) first(n int) int { return slices.Min(s.state.NodesOf(n)) }

// shortest goes breadth first from a net until it comes back to it.
func (s *State) shortest(start int, within map[int]bool, out map[int][]graph.Pass) []graph.Pass {
	came := map[int]graph.Pass{}
	queue := []int{start}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		for _, f := range out[n] {
			to := s.netOf(f.Out)
			if to == start {
				return s.trail(start, f, came)
			}
			if _, seen := came[to]; !seen && within[to] {
				came[to] = f
				queue = append(queue, to)
			}
		}
	}
	return nil
}

func (s *State) trail(start int, last graph.Pass, came map[int]graph.Pass) []graph.Pass {
	cycle := []graph.Pass{last}
	for s.netOf(cycle[len(cycle)-1].In) != start {
		cycle = append(cycle, came[s.netOf(cycle[len(cycle)-1].In)])
	}
	slices.Reverse(cycle)
	return cycle
}

// rotate begins a round at the least input, so that it always prints the same.
func rotate(ports []name.Point) []name.Point {
	least := 0
	for i := 2; i < len(ports); i += 2 {
		if ports[i].Compare(ports[least]) < 0 {
			least = i
		}
	}
	return append(slices.Clone(ports[least:]), ports[:least]...)
}

// Origins are all gear outputs that come before what a destination hears,
// through passes and the session's inside, sorted; those it hears directly
// among them.
func (s *State) Origins(destination name.Point, inside []studio.Pass) []name.Point {
	n, ok := s.room.graph.Number[destination]
	if !ok || s.state.TakenOver(n) {
		return nil
	}
	behind := make([][]int, s.state.Nets())
	for _, f := range s.flows(inside, nil) {
		behind[s.netOf(f.Out)] = append(behind[s.netOf(f.Out)], s.netOf(f.In))
	}
	var origins []int
	s.walk(s.netOf(n), behind, func(net int) { origins = append(origins, s.pick(net, graph.GearOutput)...) })
	return s.names(origins)
}
