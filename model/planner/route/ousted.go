package route

import "bayhand/model/graph"

// ousted counts how often what is in a jack, or what an output listens to, was in the way of a want
// that found no other; and how often a cord did not work where it was put.
type ousted struct {
	jacks, outputs []int
	cords          map[graph.Part]int
}

func newOusted(g *graph.Graph) ousted {
	return ousted{make([]int, len(g.Jacks)), make([]int, len(g.Outputs)), map[graph.Part]int{}}
}

func (o *ousted) clear() {
	clear(o.jacks)
	clear(o.outputs)
	clear(o.cords)
}

// avoid counts a part itself: of a dummy its jack.
func (o *ousted) avoid(p graph.Part, by int) {
	switch p.Kind {
	case graph.Cord:
		o.cords[p] += by
	case graph.Dummy:
		o.jacks[p.A] += by
	case graph.Lead, graph.Cross, graph.HeldNormal:
	}
}

// oust notes that a part was in the way.
func (d *draft) oust(p graph.Part) {
	for _, count := range d.countsOf(p) {
		*count++
	}
}

// oustedSoFar is how often a part was in the way, or another at its places.
func (d *draft) oustedSoFar(p graph.Part) int {
	most := 0
	for _, count := range d.countsOf(p) {
		most = max(most, *count)
	}
	return most
}

// countsOf are the counts of the jacks and of the output that a part takes.
func (d *draft) countsOf(p graph.Part) []*int {
	if p.Kind == graph.Cross {
		return []*int{&d.ousted.outputs[d.problem.Crosses[p.A].Output]}
	}
	var counts []*int
	for _, j := range p.Jacks() {
		counts = append(counts, &d.ousted.jacks[j])
	}
	return counts
}
