package bound

import (
	"slices"

	"bayhand/model/graph"
)

// olds are cords of the present patch by the move of one end of which a new cord is two plugs
// cheaper: those that are in no plan, those that hang, and those without which a destination, or all that ask
// for a source, could have what they ask for without a new plug.
type olds struct {
	cords []int
	// most is what is off the price of a new cord that is made of one, at most. A cord that could
	// be left hanging for one plug is worth no more than that; of one that could mend a break so,
	// nothing is counted.
	most []int
	in   [][]int // by jack, which of them
	// of is the node of the destination, or of the source, of one that may stay; None for another. The one is
	// reached by the cord, the other leaves by it, or the cord is pulled.
	of []int
}

func newOlds(f *facts, w *walker, b *alone) *olds {
	o, s := &olds{in: make([][]int, len(f.problem.Jacks))}, &staying{f, w}
	for i, c := range f.problem.Present.Cords {
		of := graph.None
		if c[1] != graph.None && !f.isGone[i] {
			if of = s.nodeFor(i); of == graph.None {
				continue // a plug less in one place, and one more in another
			}
		}
		most := 2 * unit
		switch {
		case b.mends(c):
			most = 0
		case c[1] == graph.None || b.hangs(i):
			most = unit
		}
		for _, j := range c {
			if j != graph.None && f.problem.Usable(j) {
				o.in[j] = append(o.in[j], len(o.cords))
			}
		}
		o.cords, o.most, o.of = append(o.cords, i), append(o.most, most), append(o.of, of)
	}
	return o
}

// rest is what old cords cost, in plugs, less the two that are off for all of them.
func (o *olds) rest(f *facts) int {
	total := 0
	for _, i := range o.cords {
		total += plugsOf(f.problem.Present.Cords[i]) - 2
	}
	return total
}

// keeps says whether a cord of the present patch stays for a destination or a source, at a node.
func (o *olds) keeps(cord, node int) bool {
	g := slices.Index(o.cords, cord)
	return g >= 0 && o.of[g] == node
}
