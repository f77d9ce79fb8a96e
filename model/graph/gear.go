package graph

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

func (g *Graph) addGear() {
	wired := g.wired()
	g.PortAt = slices.Repeat([]int{None}, len(g.Points))
	for _, one := range g.Studio.Gear {
		for _, p := range one.Ports {
			at := g.Number[p.Point]
			n := &g.Nodes[g.Node[at]]
			n.Mic = n.Mic || p.Line.Kind == studio.MicLevel || p.Line.Phantom
			if p.Direction == studio.Output {
				g.SourceOf[p.Point] = len(g.Sources)
				n.Sources = append(n.Sources, len(g.Sources))
				g.Sources = append(g.Sources, at)
			} else {
				n.Inputs = append(n.Inputs, at)
			}
			if !wired[p.Point] {
				g.addPort(p.Point, one.At)
			}
		}
	}
}

// addPort notes a port that can take a lead.
func (g *Graph) addPort(p name.Point, leadsTo []string) {
	port, at := len(g.Ports), g.Number[p]
	g.PortOf[p], g.PortAt[at], g.LeadsTo[port] = port, port, leadsTo
	g.Ports = append(g.Ports, at)
	n := &g.Nodes[g.Node[at]]
	n.Ports = append(n.Ports, port)
}

// wired are the points that a cable at the rear ends in.
func (g *Graph) wired() map[name.Point]bool {
	wired := make(map[name.Point]bool, 2*(len(g.Studio.Wires)+len(g.Studio.Ties)))
	for _, w := range g.Studio.Wires {
		wired[w.From], wired[w.To] = true, true
	}
	for _, t := range g.Studio.Ties {
		wired[t.A], wired[t.B] = true, true
	}
	return wired
}

// addAlways finds the drivers that drive each node whatever the patch.
func (g *Graph) addAlways() {
	for i := range g.Nodes {
		n := &g.Nodes[i]
		n.Always = slices.Clone(n.Sources)
		for _, o := range n.Outputs {
			if !g.Outputs[o].Relay && !g.Outputs[o].HighImpedance {
				n.Always = append(n.Always, g.Outputs[o].Driver)
			}
		}
	}
}

// GearPasses are what the gear of a studio always passes on.
func GearPasses(s *studio.Studio) []studio.Pass {
	var all []studio.Pass
	for _, g := range s.Gear {
		all = append(all, g.Passes...)
	}
	return all
}

// Numbers are passes as points; those of points that the studio does not have are
// left out.
func (g *Graph) Numbers(passes []studio.Pass) []Pass {
	var found []Pass
	for _, p := range passes {
		in, okIn := g.Number[p.In]
		out, okOut := g.Number[p.Out]
		if okIn && okOut {
			found = append(found, Pass{in, out})
		}
	}
	return found
}

// addOverrides notes the sockets that take over inputs.
func (g *Graph) addOverrides() {
	g.Overrides, g.Overridden = map[int][]int{}, map[int][]int{}
	for _, one := range g.Studio.Gear {
		for _, s := range one.Overrides {
			front, okFront := g.Number[s.Front]
			rear, okRear := g.Number[s.Rear]
			if okFront && okRear {
				g.Overrides[rear] = append(g.Overrides[rear], front)
				g.Overridden[front] = append(g.Overridden[front], rear)
			}
		}
	}
}
