package graph

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// Feedback is what may not come back to where it begins: the ways through gear
// and through what the software carries, but for loops that are meant. It is for one user.
type Feedback struct {
	passes [][]through // by the node where they begin
	meant  map[int]bool
	// reached are nets of a round, and places theirs by number, from 1, to be used again by the
	// next; ways lead from one to another.
	reached, places []int
	ways            [][2]int
}

// through leads through gear to a node; in is the input of the gear.
type through struct{ to, in int }

// Feedback is that of the gear, and of what the software carries (inside). A loop
// through an allowed port is left out.
func (g *Graph) Feedback(inside []studio.Pass, allow []name.Point) *Feedback {
	f := &Feedback{passes: make([][]through, len(g.Nodes)), meant: map[int]bool{}}
	for _, p := range allow {
		if at, ok := g.Number[p]; ok {
			f.meant[at] = true
		}
	}
	for _, p := range slices.Concat(g.Passes, g.Numbers(inside)) {
		if !f.meant[p.In] && !f.meant[p.Out] {
			at := g.Node[p.In]
			f.passes[at] = append(f.passes[at], through{g.Node[p.Out], p.In})
		}
	}
	return f
}

// GoesRound says whether a signal from one of some nets comes back to a net where
// it was. A loop that was not there before a change goes through a net that the
// change has made.
func (s *State) GoesRound(f *Feedback, from []int) bool {
	for len(f.places) < len(s.nets) {
		f.places = append(f.places, 0)
	}
	f.reached, f.ways = f.reached[:0], f.ways[:0]
	reach := func(at int) int {
		if f.places[at] == 0 {
			f.reached = append(f.reached, at)
			f.places[at] = len(f.reached)
		}
		return f.places[at] - 1
	}
	for _, at := range from {
		if flowsOn(s, f, at) {
			reach(at)
		}
	}
	for i := 0; i < len(f.reached); i++ {
		s.EachOnward(f, f.reached[i], func(to int) { f.ways = append(f.ways, [2]int{i, reach(to)}) })
	}
	for _, at := range f.reached {
		f.places[at] = 0
	}
	return len(f.ways) > 0 && cyclic(f.ways, len(f.reached))
}

// flowsOn says whether a signal on a net could go on through gear.
func flowsOn(s *State, f *Feedback, at int) bool {
	return slices.ContainsFunc(s.nets[at].nodes, func(n int) bool { return len(f.passes[n])+len(s.ahead[n]) > 0 })
}

// EachOnward calls f with the nets that a signal on one goes on to, through gear
// and amplifiers, but for loops that are meant.
func (s *State) EachOnward(f *Feedback, at int, visit func(to int)) {
	g := s.Graph
	for _, n := range s.nets[at].nodes {
		for _, w := range f.passes[n] {
			if !s.TakenOver(w.in) {
				visit(s.net[w.to])
			}
		}
		for _, x := range s.ahead[n] {
			c := g.Crosses[x]
			if o := &g.Outputs[c.Output]; !f.meant[c.Input] && !f.meant[o.Point] {
				visit(s.net[o.Node])
			}
		}
	}
}

// InUse are the numbers of all nets that have nodes.
func (s *State) InUse() []int {
	var all []int
	for at := range s.nets {
		if len(s.nets[at].nodes) > 0 {
			all = append(all, at)
		}
	}
	return all
}

// cyclic says whether one can go along ways and come back: it takes away what
// nothing leads to until nothing is left, or a ring (Kahn 1962). It only says
// whether, in time linear in the ways and without an object for each, since the
// planner asks after each change.
func cyclic(ways [][2]int, count int) bool {
	into, first, next := make([]int, count), make([]int, count), make([]int, len(ways))
	for i, w := range ways {
		into[w[1]]++
		next[i] = first[w[0]]
		first[w[0]] = i + 1
	}
	var free []int
	for at := range count {
		if into[at] == 0 && first[at] != 0 {
			free = append(free, at)
		}
	}
	left := len(ways)
	for len(free) > 0 {
		at := free[len(free)-1]
		free = free[:len(free)-1]
		for i := first[at]; i != 0; i = next[i-1] {
			left--
			if to := ways[i-1][1]; into[to] == 1 {
				into[to] = 0
				free = append(free, to)
			} else {
				into[to]--
			}
		}
	}
	return left > 0
}
