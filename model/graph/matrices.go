package graph

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

func (g *Graph) addMatrices() {
	drivers := len(g.Sources)
	for _, m := range g.Studio.Matrices {
		inputs := make([]int, m.Inputs)
		for i := range inputs {
			inputs[i] = g.Number[m.In(i+1)]
			n := &g.Nodes[g.Node[inputs[i]]]
			n.Ins = slices.Grow(n.Ins, m.Outputs)
		}
		absent := map[studio.Absent]bool{}
		for _, a := range m.Missing {
			absent[a] = true
		}
		for n := 1; n <= m.Outputs; n++ {
			o := Output{Point: g.Number[m.Out(n)], Relay: m.Kind == studio.Contacts, HighImpedance: m.HighImpedance, Matrix: m.Name, Driver: None, inputs: m.Inputs}
			o.Node = g.Node[o.Point]
			if !o.Relay {
				o.Driver = drivers
				drivers++
			}
			g.addOutput(o, inputs, absent)
		}
	}
}

func (g *Graph) addOutput(o Output, inputs []int, absent map[studio.Absent]bool) {
	at := len(g.Outputs)
	out := g.Points[o.Point]
	g.OutputOf[out] = at
	o.first = len(g.Crosses)
	o.Crosses = make([]int, 0, len(inputs))
	for _, in := range inputs {
		x := len(g.Crosses)
		c := Crosspoint{Output: at, Input: in, From: g.Node[in]}
		g.Crosses = append(g.Crosses, c)
		if len(absent) > 0 && absent[studio.Absent{Output: out, Input: g.Points[in]}] {
			g.absent[x] = true
			continue
		}
		from := &g.Nodes[c.From]
		from.Ins = append(from.Ins, x)
		o.Crosses = append(o.Crosses, x)
	}
	n := &g.Nodes[o.Node]
	n.Outputs = append(n.Outputs, at)
	n.Outs = append(n.Outs, o.Crosses...)
	if !o.Relay {
		g.Amplifiers = append(g.Amplifiers, at)
	}
	g.Outputs = append(g.Outputs, o)
}

// addGanged finds the crosspoints of outputs that are switched together: where
// the first listens to an input, the second listens to the one after it. Those
// of which another is lacking can never be closed; their list begins with None.
func (g *Graph) addGanged() {
	for _, m := range g.Studio.Matrices {
		for _, group := range m.Stereo {
			for first := 2 - len(group); first <= m.Inputs; first++ {
				g.addGang(m, group, first)
			}
		}
	}
}

func (g *Graph) addGang(m studio.Matrix, group []name.Point, first int) {
	var together []int
	for k, out := range group {
		in, ok := g.Number[m.In(first+k)]
		if !ok {
			continue
		}
		if x, ok := g.CrossAt(g.OutputOf[out], in); ok {
			together = append(together, x)
		}
	}
	slices.Sort(together)
	gang := together
	if len(together) < len(group) {
		gang = append([]int{None}, together...)
	}
	for _, x := range together {
		g.Ganged[x] = gang
	}
}

// Incomplete says whether a crosspoint lacks one of those that must be closed
// with it.
func (g *Graph) Incomplete(x int) bool { return len(g.Ganged[x]) > 0 && g.Ganged[x][0] == None }

// IsGanged says whether an output is switched together with others.
func (g *Graph) IsGanged(o int) bool {
	return slices.ContainsFunc(g.Outputs[o].Crosses, func(x int) bool { return len(g.Ganged[x]) > 0 })
}

// Parted says whether a patch has a crosspoint without those that are switched
// together with it.
func (g *Graph) Parted(p Patch) bool {
	return slices.ContainsFunc(p.Crosses, func(x int) bool {
		return slices.ContainsFunc(g.Ganged[x], func(y int) bool { return !slices.Contains(p.Crosses, y) })
	})
}
