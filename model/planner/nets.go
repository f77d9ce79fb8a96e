package planner

import "slices"

// nets are what a draft makes of the nodes.
type nets struct {
	*board
	draft   draft
	plugged []bool
	root    forest
	drivers [][]int     // by root, sorted
	behind  map[int]int // the crosspoint that an amplifier's output has
}

func (b *board) nets(d draft) *nets {
	n := &nets{board: b, draft: d, plugged: make([]bool, len(b.jacks)), root: newForest(len(b.nodes)), drivers: make([][]int, len(b.nodes)), behind: map[int]int{}}
	for _, j := range d.plugs() {
		n.plugged[j] = true
	}
	for _, c := range d.cords {
		if c[1] != nowhere {
			n.root.join(b.jacks[c[0]].node, b.jacks[c[1]].node)
		}
	}
	for _, l := range d.leads {
		n.root.join(b.node[b.ports[l[0]]], b.jacks[l[1]].node)
	}
	for _, m := range b.normals {
		if n.holds(m) {
			n.root.join(b.jacks[m.a].node, b.jacks[m.b].node)
		}
	}
	for _, x := range d.crosses {
		c := b.crosses[x]
		if o := b.outputs[c.output]; o.relay {
			n.root.join(c.from, o.node)
		} else {
			n.behind[c.output] = x
		}
	}
	n.findDrivers()
	return n
}

func (n *nets) holds(m normal) bool {
	return !(m.breaksA && n.plugged[m.a]) && !(m.breaksB && n.plugged[m.b])
}

func (n *nets) findDrivers() {
	for i := range n.nodes {
		r := n.root.root(i)
		n.drivers[r] = append(n.drivers[r], n.nodes[i].sources...)
		for _, o := range n.nodes[i].outputs {
			out := n.outputs[o]
			if _, on := n.behind[o]; !out.relay && (on || !out.letsGo) {
				n.drivers[r] = append(n.drivers[r], out.driver)
			}
		}
	}
	for _, d := range n.drivers {
		if len(d) > 1 {
			slices.Sort(d)
		}
	}
}

// driversAt are the drivers on the net of a node.
func (n *nets) driversAt(node int) []int { return n.drivers[n.root.root(node)] }

// comes is the source that comes to a node, through amplifiers; nowhere for none.
func (n *nets) comes(node int) int {
	for range len(n.outputs) + 1 {
		drivers := n.driversAt(node)
		if len(drivers) != 1 {
			break
		}
		if s, ok := n.sourceAt(drivers[0]); ok {
			return s
		}
		x, on := n.behind[n.amplifier(drivers[0])]
		if !on {
			break
		}
		node = n.crosses[x].from
	}
	return nowhere
}

// micAt says whether anything at microphone level or with phantom power is on
// the net of a node.
func (n *nets) micAt(node int) bool {
	root := n.root.root(node)
	for i := range n.nodes {
		if n.nodes[i].mic && n.root.root(i) == root {
			return true
		}
	}
	return false
}
