package graph

import "slices"

// listen finds what is heard on some nets and on all that they lead to, and
// returns them all. What a net hears only ever grows from the outputs of gear, so
// that a ring of nets that nothing drives hears nothing.
func (s *State) listen(nets []int) []int {
	for len(s.marks) < len(s.nets) {
		s.marks = append(s.marks, false)
	}
	stale := s.leadingFrom(nets, s.marks)
	for _, at := range stale {
		s.nets[at].heard = nil
		s.marks[at] = true
	}
	for queue := slices.Clone(stale); len(queue) > 0; queue = queue[1:] {
		at := queue[0]
		s.marks[at] = false
		heard := s.hearing(at)
		if len(heard) == len(s.nets[at].heard) {
			continue
		}
		s.nets[at].heard = heard
		s.EachFollowing(at, func(to int) {
			if !s.marks[to] {
				s.marks[to] = true
				queue = append(queue, to)
			}
		})
	}
	return stale
}

// leadingFrom are some nets and all those that they lead to through amplifiers,
// nearest first. It leaves no mark.
func (s *State) leadingFrom(nets []int, marks []bool) []int {
	all := make([]int, 0, len(nets))
	add := func(at int) {
		if !marks[at] {
			marks[at] = true
			all = append(all, at)
		}
	}
	for _, at := range nets {
		add(at)
	}
	for i := 0; i < len(all); i++ {
		s.EachFollowing(all[i], add)
	}
	for _, at := range all {
		marks[at] = false
	}
	return all
}

// LeadingFrom are a net and all those that it leads to through amplifiers, nearest
// first.
func (s *State) LeadingFrom(net int) []int {
	return s.leadingFrom([]int{net}, make([]bool, len(s.nets)))
}

// EachFollowing calls f with the nets that listen to one through amplifiers.
func (s *State) EachFollowing(at int, f func(to int)) {
	for _, n := range s.nets[at].nodes {
		for _, x := range s.ahead[n] {
			f(s.net[s.Graph.Outputs[s.Graph.Crosses[x].Output].Node])
		}
	}
}

// hearing is what a net hears, given what those behind it do.
func (s *State) hearing(at int) []int {
	var heard []int
	for _, n := range s.nets[at].nodes {
		node := &s.Graph.Nodes[n]
		heard = append(heard, node.Sources...)
		for _, o := range node.Outputs {
			if s.Graph.Outputs[o].Relay {
				continue
			}
			for _, x := range s.behind[o] {
				heard = append(heard, s.nets[s.net[s.Graph.Crosses[x].From]].heard...)
			}
		}
	}
	if len(heard) > 1 {
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

// HeardOn are the sources that are heard on a net, in order.
func (s *State) HeardOn(net int) []int { return s.nets[net].heard }

// HeardAt are the sources that are heard at a point, in order; none at an input
// that is taken over.
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
