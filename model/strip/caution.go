package strip

import (
	"bayhand/model/graph"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// word stands in the name over what a caution is for, and is never cut.
func (c Caution) word() string {
	switch c {
	case Phantom:
		return "48 V"
	case Loud:
		return "LOUD"
	}
	return ""
}

// cautions are the jacks whose rear leads, by wires, ties, mults and parallel pairs,
// to what a loudspeaker or headphone sounds by, or to an input that can supply phantom
// power. Phantom power comes by normals as well, to the jack that a microphone is wired
// to; a normal that is tagged faulty may hold again, and counts. Cords are not looked at: a
// strip holds for any patch.
func cautions(s *studio.Studio) map[name.Point]Caution {
	whole := *s
	whole.FaultyNormals = nil
	g := graph.New(&whole)
	found := map[name.Point]Caution{}
	mark := func(nodes []int, c Caution) {
		for _, n := range nodes {
			for _, j := range g.Nodes[n].Jacks {
				found[g.Points[g.Jacks[j].Point]] = c
			}
		}
	}
	var phantom, loud []int
	for _, one := range s.Gear {
		for _, p := range one.Ports {
			node := g.Node[g.Number[p.Point]]
			switch {
			case graph.Loud(one, p):
				loud = append(loud, node)
			case p.Direction == studio.Input && p.Line.Phantom:
				phantom = append(phantom, node)
			}
		}
	}
	mark(graph.ByNormals(g, phantom), Phantom)
	mark(loud, Loud)
	return found
}
