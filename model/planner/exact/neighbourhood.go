package exact

import (
	"cmp"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/planner/problem"
)

// neighbourhood grows a window around some jacks: over what is in or was in before, the
// normals, and the wants that stand there, until so many jacks are free; then come jacks
// and outputs near that nothing uses, by which other ways could go.
type neighbourhood struct {
	*graph.Graph
	problem *problem.Problem
	window  *window
	// was is what each jack holds in the present patch.
	was   []graph.Part
	queue []int
	seen  []bool
	// free counts the jacks that are free, of most.
	free, most int
}

// around is the window around some jacks.
func around(p *problem.Problem, d graph.Patch, jacks []int, most int) *window {
	var nodes []int
	for _, j := range jacks {
		nodes = append(nodes, p.Jacks[j].Node)
	}
	return aroundNodes(p, d, nodes, most)
}

// aroundNodes is the window around some nodes.
func aroundNodes(p *problem.Problem, d graph.Patch, nodes []int, most int) *window {
	n := &neighbourhood{
		Graph: p.Graph, problem: p, window: newWindow(p, d), was: make([]graph.Part, len(p.Jacks)),
		seen: make([]bool, len(p.Nodes)), most: most,
	}
	for _, part := range p.Present.Parts() {
		for _, j := range part.Jacks() {
			n.was[j] = part
		}
	}
	for _, at := range nodes {
		n.reach(at)
	}
	for len(n.queue) > 0 && n.free < n.most {
		at := n.queue[0]
		n.queue = n.queue[1:]
		n.visit(at)
	}
	for _, at := range nodes {
		n.addIdleJacks(at, most/2/len(nodes))
	}
	n.addIdleOutputs()
	n.window.close()
	return n.window
}

func (n *neighbourhood) reach(node int) {
	if !n.seen[node] {
		n.seen[node] = true
		n.queue = append(n.queue, node)
	}
}

// visit frees what is at a node, and goes on to what it is joined with.
func (n *neighbourhood) visit(node int) {
	at := &n.Nodes[node]
	for _, j := range at.Jacks {
		if n.problem.Usable(j) && !n.window.jacks[j] {
			n.window.freeJack(j)
			n.free++
		}
		n.follow(n.window.at[j])
		n.follow(n.was[j])
	}
	for _, p := range at.Ports {
		n.window.freePort(p)
		if j := n.window.portAt[p]; j != graph.None {
			n.reach(n.Jacks[j].Node)
		}
	}
	for _, m := range at.Normals {
		n.reach(n.Across(m, node))
	}
	n.followCrosses(node)
	n.followWants(node)
}

func (n *neighbourhood) follow(p graph.Part) {
	if p.Kind == graph.Cord || p.Kind == graph.Lead {
		for _, j := range p.Jacks() {
			n.reach(n.Jacks[j].Node)
		}
	}
}

// followCrosses frees the outputs that listen to a node, or stand there, and goes on to
// their other ends.
func (n *neighbourhood) followCrosses(node int) {
	for _, x := range n.window.state.Ahead(node) {
		o := n.Crosses[x].Output
		n.window.freeOutput(o)
		n.reach(n.Outputs[o].Node)
	}
	for _, o := range n.Nodes[node].Outputs {
		n.window.freeOutput(o)
		for _, x := range n.window.state.Behind(o) {
			n.reach(n.Crosses[x].From)
		}
	}
}

// followWants goes on from a destination to its source.
func (n *neighbourhood) followWants(node int) {
	for _, w := range n.problem.WantsAt[node] {
		if s, ok := n.SourceOf[n.problem.Session.Wants[w].Source]; ok {
			n.reach(n.Node[n.Sources[s]])
		}
	}
}

// addIdleJacks frees so many jacks that nothing uses, those nearest to where a node has
// its first jack.
func (n *neighbourhood) addIdleJacks(node, count int) {
	from := n.jackNear(node)
	if from == graph.None {
		return
	}
	var idle []int
	for j := range n.Jacks {
		if n.problem.Usable(j) && !n.window.jacks[j] && n.window.at[j].Kind == 0 && n.window.state.CountDrivers(n.window.state.NetOf(n.Jacks[j].Node)) == 0 {
			idle = append(idle, j)
		}
	}
	slices.SortStableFunc(idle, func(i, j int) int {
		return cmp.Compare(n.problem.Stock.Need(from, i), n.problem.Stock.Need(from, j))
	})
	for _, j := range idle[:min(len(idle), count)] {
		for _, k := range n.Nodes[n.Jacks[j].Node].Jacks {
			if n.problem.Usable(k) {
				n.window.freeJack(k)
			}
		}
	}
}

// jackNear is a jack at a node, or on its net; None where there is none.
func (n *neighbourhood) jackNear(node int) int {
	for _, m := range append([]int{node}, n.window.state.NodesOf(n.window.state.NetOf(node))...) {
		if jacks := n.Nodes[m].Jacks; len(jacks) > 0 {
			return jacks[0]
		}
	}
	return graph.None
}

// idleOutputs is how many outputs that listen to nothing are free, by matrix.
const idleOutputs = 4

// addIdleOutputs frees outputs that listen to nothing, of matrices that have an input or
// an output where jacks are free.
func (n *neighbourhood) addIdleOutputs() {
	near := map[string]bool{}
	for node := range n.Nodes {
		if n.seen[node] {
			for _, x := range n.Nodes[node].Ins {
				near[n.Outputs[n.Crosses[x].Output].Matrix] = true
			}
			for _, o := range n.Nodes[node].Outputs {
				near[n.Outputs[o].Matrix] = true
			}
		}
	}
	count := map[string]int{}
	for o := range n.Outputs {
		m := n.Outputs[o].Matrix
		if near[m] && count[m] < idleOutputs && !n.window.outputs[o] && len(n.window.state.Behind(o)) == 0 {
			n.window.freeOutput(o)
			for _, j := range n.Nodes[n.Outputs[o].Node].Jacks {
				n.window.freeJack(j)
			}
			count[m]++
		}
	}
}
