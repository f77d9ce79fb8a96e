package trial

import (
	"maps"
	"slices"

	"bayhand/model/graph"
)

// Touched are the nodes that a part joins or parts.
func (r *Trial) Touched(p graph.Part) []int {
	var nodes []int
	for _, j := range p.Jacks() {
		nodes = append(nodes, r.Jacks[j].Node)
		for _, m := range r.Jacks[j].Normals {
			nodes = append(nodes, r.Jacks[r.problem.OtherEnd(m, j)].Node)
		}
	}
	switch p.Kind {
	case graph.Lead:
		nodes = append(nodes, r.Node[r.Ports[p.A]])
	case graph.Cross:
		nodes = append(nodes, r.Crosses[p.A].From, r.Outputs[r.Crosses[p.A].Output].Node)
	case graph.Cord, graph.Dummy:
	}
	return nodes
}

// AddNets adds all nodes that are on the nets of some.
func (r *Trial) AddNets(set map[int]bool, nodes []int) {
	for _, n := range nodes {
		for _, m := range r.State.NodesOf(r.State.NetOf(n)) {
			set[m] = true
		}
	}
}

// AddOnward adds all nodes that a signal on some comes to, through amplifiers and
// through gear.
func (r *Trial) AddOnward(set map[int]bool) {
	nodes := slices.Sorted(maps.Keys(set))
	for i := 0; i < len(nodes); i++ {
		add := func(at int) {
			for _, m := range r.State.NodesOf(at) {
				if !set[m] {
					set[m] = true
					nodes = append(nodes, m)
				}
			}
		}
		at := r.State.NetOf(nodes[i])
		r.State.EachFollowing(at, add)
		r.State.EachOnward(r.feedback, at, add)
	}
}
