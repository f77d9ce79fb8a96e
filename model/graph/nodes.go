package graph

// Relays says whether a relay's input or output stands at a node.
func (g *Graph) Relays(n int) bool {
	at := &g.Nodes[n]
	for _, x := range at.Ins {
		if g.Outputs[g.Crosses[x].Output].Relay {
			return true
		}
	}
	for _, x := range at.Outs {
		if g.Outputs[g.Crosses[x].Output].Relay {
			return true
		}
	}
	return false
}

// Amplified says whether an input of an amplifier stands at a node.
func (g *Graph) Amplified(n int) bool {
	for _, x := range g.Nodes[n].Ins {
		if !g.Outputs[g.Crosses[x].Output].Relay {
			return true
		}
	}
	return false
}

// Floats says whether an output of high impedance stands at a node.
func (g *Graph) Floats(n int) bool {
	for _, o := range g.Nodes[n].Outputs {
		if !g.Outputs[o].Relay && g.Outputs[o].HighImpedance {
			return true
		}
	}
	return false
}
