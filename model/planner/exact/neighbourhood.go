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
	return aroundNodes(p, d, nodes, most, 0)
}

// aroundNodes is the window around some nodes, with so many mults that nothing uses.
func aroundNodes(p *problem.Problem, d graph.Patch, nodes []int, most, mults int) *window {
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
	n.addIdleMults(nodes[len(nodes)-1], mults)
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
		if n.problem.Usable(j) && n.isIdle(j) {
			idle = append(idle, j)
		}
	}
	for _, j := range n.nearest(from, idle, count) {
		n.freeJacksOf(n.Jacks[j].Node)
	}
}

// addIdleMults frees so many mults that nothing uses, those nearest to where a node has
// its first jack. A split may need a whole one, and among the single jacks that are free
// nearer there may be none.
func (n *neighbourhood) addIdleMults(node, count int) {
	from := n.jackNear(node)
	if from == graph.None || count == 0 {
		return
	}
	var idle []int // of each its first jack
	for i := range n.Nodes {
		jacks := n.Nodes[i].Jacks
		if len(jacks) >= jacksOfMult && !slices.ContainsFunc(jacks, func(j int) bool { return !n.isIdle(j) }) {
			idle = append(idle, jacks[0])
		}
	}
	for _, j := range n.nearest(from, idle, count) {
		n.freeJacksOf(n.Jacks[j].Node)
	}
}

// jacksOfMult is how many jacks of one node split a line: it comes in by one of them and
// leaves by two.
const jacksOfMult = 3

// isIdle says whether nothing is in a jack, nothing drives its net, and the window does not
// free it yet.
func (n *neighbourhood) isIdle(j int) bool {
	s := n.window.state
	return !n.window.jacks[j] && n.window.at[j].Kind == 0 && s.CountDrivers(s.NetOf(n.Jacks[j].Node)) == 0
}

// nearest are so many of some jacks, those to which the shortest cord goes.
func (n *neighbourhood) nearest(from int, jacks []int, count int) []int {
	slices.SortStableFunc(jacks, func(i, j int) int {
		return cmp.Compare(n.problem.Stock.Need(from, i), n.problem.Stock.Need(from, j))
	})
	return jacks[:min(len(jacks), count)]
}

// freeJacksOf frees the jacks of a node that can be used.
func (n *neighbourhood) freeJacksOf(node int) {
	for _, k := range n.Nodes[node].Jacks {
		if n.problem.Usable(k) {
			n.window.freeJack(k)
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
