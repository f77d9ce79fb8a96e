package heard

import (
	"slices"

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

// flow is one directed way between nets, through gear or an amplifier.
type flow struct {
	in, out int
}

// Loops finds every knot of nets that feed themselves, through what gear
// passes, what the software carries (inside) and amplifiers; one shortest round
// of each knot, sorted. A loop through an allowed port is left out. It takes
// time linear in the room, and for each knot the square of its size.
func (s *State) Loops(inside []studio.Pass, allow []name.Point) []Loop {
	flows := s.flows(inside, allow)
	out := make([][]flow, len(s.nets))
	for _, f := range flows {
		out[s.netOf(f.in)] = append(out[s.netOf(f.in)], f)
	}
	var loops []Loop
	for _, knot := range s.knots(out) {
		loops = append(loops, Loop{s.round(knot, out)})
	}
	slices.SortFunc(loops, func(a, b Loop) int { return a.Through[0].Compare(b.Through[0]) })
	return loops
}

func (s *State) flows(inside []studio.Pass, allow []name.Point) []flow {
	meant := func(p int) bool { return slices.Contains(allow, s.room.points[p]) }
	var flows []flow
	add := func(in, out int) {
		if !meant(in) && !meant(out) && !s.stolen(in) {
			flows = append(flows, flow{in, out})
		}
	}
	for _, p := range s.room.passes {
		add(p.in, p.out)
	}
	for _, p := range s.room.numbered(inside) {
		add(p.in, p.out)
	}
	for out, inputs := range s.behind {
		for _, in := range inputs {
			add(in, out)
		}
	}
	return flows
}

// knots are the strongly connected sets of nets that hold a cycle (Tarjan
// 1972), without recursion on the call stack.
func (s *State) knots(out [][]flow) [][]int {
	t := tarjan{state: s, out: out, index: make([]int, len(s.nets)), low: make([]int, len(s.nets)), on: make([]bool, len(s.nets))}
	for n := range s.nets {
		if t.index[n] == 0 && len(out[n]) > 0 {
			t.visit(n)
		}
	}
	return t.found
}

type tarjan struct {
	state      *State
	out        [][]flow
	index, low []int
	on         []bool
	count      int
	stack      []int
	found      [][]int
}

type frame struct{ net, next int }

func (t *tarjan) visit(start int) {
	frames := []frame{t.enter(start)}
	for len(frames) > 0 {
		f := &frames[len(frames)-1]
		if f.next < len(t.out[f.net]) {
			to := t.state.netOf(t.out[f.net][f.next].out)
			f.next++
			switch {
			case t.index[to] == 0:
				frames = append(frames, t.enter(to))
			case t.on[to]:
				t.low[f.net] = min(t.low[f.net], t.index[to])
			}
			continue
		}
		net := f.net
		frames = frames[:len(frames)-1]
		if len(frames) > 0 {
			above := frames[len(frames)-1].net
			t.low[above] = min(t.low[above], t.low[net])
		}
		if t.low[net] == t.index[net] {
			t.leave(net)
		}
	}
}

func (t *tarjan) enter(net int) frame {
	t.count++
	t.index[net], t.low[net], t.on[net] = t.count, t.count, true
	t.stack = append(t.stack, net)
	return frame{net: net}
}

// leave takes a finished set off the stack and keeps it if it holds a cycle.
func (t *tarjan) leave(net int) {
	at := slices.Index(t.stack, net)
	set := slices.Clone(t.stack[at:])
	t.stack = t.stack[:at]
	for _, n := range set {
		t.on[n] = false
	}
	selfFed := func(f flow) bool { return t.state.netOf(f.out) == net }
	if len(set) > 1 || slices.ContainsFunc(t.out[net], selfFed) {
		t.found = append(t.found, set)
	}
}

// round is a shortest cycle within a knot, as ports.
func (s *State) round(knot []int, out [][]flow) []name.Point {
	// The numbers of nets depend on how the state came about; their first points
	// do not.
	slices.SortFunc(knot, func(a, b int) int { return s.first(a) - s.first(b) })
	within := map[int]bool{}
	for _, n := range knot {
		within[n] = true
	}
	var best []flow
	for _, start := range knot {
		if cycle := s.shortest(start, within, out); best == nil || len(cycle) < len(best) {
			best = cycle
		}
	}
	var ports []name.Point
	for _, f := range best {
		ports = append(ports, s.room.points[f.in], s.room.points[f.out])
	}
	return rotate(ports)
}

// first is the least island of a net.
func (s *State) first(n int) int { return slices.Min(s.nets[n].islands) }

// shortest goes breadth first from a net until it comes back to it.
func (s *State) shortest(start int, within map[int]bool, out [][]flow) []flow {
	came := map[int]flow{}
	queue := []int{start}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		for _, f := range out[n] {
			to := s.netOf(f.out)
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

func (s *State) trail(start int, last flow, came map[int]flow) []flow {
	cycle := []flow{last}
	for s.netOf(cycle[len(cycle)-1].in) != start {
		cycle = append(cycle, came[s.netOf(cycle[len(cycle)-1].in)])
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
	n, ok := s.room.number[destination]
	if !ok || s.stolen(n) {
		return nil
	}
	behind := make([][]int, len(s.nets))
	for _, f := range s.flows(inside, nil) {
		behind[s.netOf(f.out)] = append(behind[s.netOf(f.out)], s.netOf(f.in))
	}
	var origins []int
	s.walk(s.netOf(n), behind, func(net int) { origins = append(origins, s.pick(net, gearOutput)...) })
	return s.names(origins)
}
