package graph

import "slices"

// listen finds what is heard on some nets and on all that they lead to, and
// returns them all. What a net hears only ever grows from the outputs of gear, so
// that a ring of nets that nothing drives hears nothing.
func (s *State) listen(nets []int) []int {
	for len(s.marks) < len(s.nets) {
		s.marks = append(s.marks, false)
	}
	r := &s.scratch
	r.stale = s.leadingFrom(nets, s.marks, r.stale[:0])
	for _, at := range r.stale {
		s.nets[at].heard = nil
		s.marks[at] = true
	}
	r.queue = append(r.queue[:0], r.stale...)
	for i := 0; i < len(r.queue); i++ {
		at := r.queue[i]
		s.marks[at] = false
		heard := s.hearing(at)
		if len(heard) == len(s.nets[at].heard) {
			continue
		}
		s.nets[at].heard = heard
		for _, n := range s.nets[at].nodes {
			for _, x := range s.ahead[n] {
				if to := following(s, x); !s.marks[to] {
					s.marks[to] = true
					r.queue = append(r.queue, to)
				}
			}
		}
	}
	return r.stale
}

// leadingFrom adds to a list some nets and all those that they lead to through amplifiers,
// nearest first. It leaves no mark.
func (s *State) leadingFrom(nets []int, marks []bool, all []int) []int {
	for _, at := range nets {
		all = meet(at, marks, all)
	}
	for i := 0; i < len(all); i++ {
		for _, n := range s.nets[all[i]].nodes {
			for _, x := range s.ahead[n] {
				all = meet(following(s, x), marks, all)
			}
		}
	}
	for _, at := range all {
		marks[at] = false
	}
	return all
}

// meet marks a net and adds it, but where it is marked.
func meet(at int, marks []bool, all []int) []int {
	if marks[at] {
		return all
	}
	marks[at] = true
	return append(all, at)
}

// following is the net that a closed crosspoint of an amplifier leads to.
func following(s *State, x int) int { return s.net[s.Graph.Outputs[s.Graph.Crosses[x].Output].Node] }

// LeadingFrom are a net and all those that it leads to through amplifiers, nearest
// first.
func (s *State) LeadingFrom(net int) []int {
	return s.leadingFrom([]int{net}, make([]bool, len(s.nets)), nil)
}

// AddReached adds to a list the gear inputs that hear what is on the net of a node, as points:
// those that are nearest first, and none that is taken over. It is for the one user of a state
// that changes.
func (s *State) AddReached(node int, inputs []int) []int {
	r := &s.scratch
	r.leading = s.leadingFrom(append(r.leading[:0], s.net[node]), s.marks, r.leading[:0])
	for _, at := range r.leading {
		for _, n := range s.nets[at].nodes {
			for _, in := range s.Graph.Nodes[n].Inputs {
				if !s.TakenOver(in) {
					inputs = append(inputs, in)
				}
			}
		}
	}
	return inputs
}

// EachFollowing calls f with the nets that listen to one through amplifiers.
func (s *State) EachFollowing(at int, f func(to int)) {
	for _, n := range s.nets[at].nodes {
		for _, x := range s.ahead[n] {
			f(following(s, x))
		}
	}
}

// hearing is what a net hears, given what those behind it do. It may be the list of one of
// these: nobody changes it.
func (s *State) hearing(at int) []int {
	var heard []int
	lists := 0
	add := func(list []int) {
		switch {
		case len(list) == 0:
			return
		case lists == 0:
			heard = list[:len(list):len(list)] // whatever is added next makes another
		default:
			heard = append(heard, list...)
		}
		lists++
	}
	for _, n := range s.nets[at].nodes {
		node := &s.Graph.Nodes[n]
		add(node.Sources)
		for _, o := range node.Outputs {
			if s.Graph.Outputs[o].Relay {
				continue
			}
			for _, x := range s.behind[o] {
				add(s.nets[s.net[s.Graph.Crosses[x].From]].heard)
			}
		}
	}
	if lists > 1 {
		slices.Sort(heard)
		heard = slices.Compact(heard)
	}
	return heard
}

// Nets is how many numbers of nets there are; some may have no nodes.
func (s *State) Nets() int { return len(s.nets) }

// NodesOf are the nodes of a net; they must not be changed.
func (s *State) NodesOf(net int) []int { return s.nets[net].nodes }

// NetOf is the net of a node.
func (s *State) NetOf(node int) int { return s.net[node] }

// CountDrivers is how many outputs drive a net.
func (s *State) CountDrivers(net int) int { return s.nets[net].drivers }

// HeardOn are the sources that are heard on a net, in order; they must not be changed.
func (s *State) HeardOn(net int) []int { return s.nets[net].heard }

// HeardAt are the sources that are heard at a point, in order; none at an input
// that is taken over. They must not be changed.
func (s *State) HeardAt(point int) []int {
	if s.TakenOver(point) {
		return nil
	}
	return s.nets[s.net[s.Graph.Node[point]]].heard
}

// Behind are the closed crosspoints of an output; they must not be changed.
func (s *State) Behind(output int) []int { return s.behind[output] }

// Ahead are the closed crosspoints of amplifiers that begin at a node.
func (s *State) Ahead(node int) []int { return s.ahead[node] }

// Plugged is how many plugs are in a jack.
func (s *State) Plugged(j int) int { return s.plugged[s.Graph.Jacks[j].Point] }

// DriversOn are the drivers of a net, in order.
func (s *State) DriversOn(net int) []int {
	var drivers []int
	for _, n := range s.nets[net].nodes {
		drivers = append(drivers, s.Graph.Nodes[n].Sources...)
		for _, o := range s.Graph.Nodes[n].Outputs {
			if s.Drives(o) {
				drivers = append(drivers, s.Graph.Outputs[o].Driver)
			}
		}
	}
	slices.Sort(drivers)
	return drivers
}
