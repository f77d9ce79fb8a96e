package bound

import (
	"slices"

	"bayhand/model/graph"
)

// unit is one plug in prices. They are whole numbers, so that nothing in a proof by them is
// rounded.
const unit = 1 << 10

// none stands for no thing, kind or old cord of an arc.
const none = int32(graph.None)

// things are numbers for what is scarce: nodes, each of which has one source; jacks, each of
// which has one plug, or none while a normal holds that a plug there breaks; and kinds of
// cord, where a kind stands for all cords as long or longer.
type things struct{ nodes, jacks, kinds int }

func thingsOf(f *facts) things {
	return things{len(f.problem.Nodes), len(f.problem.Jacks), len(f.problem.Stock.Kinds)}
}

func (t things) count() int     { return t.nodes + t.jacks + t.kinds }
func (t things) jack(j int) int { return t.nodes + j }
func (t things) kind(k int) int { return t.nodes + t.jacks + k }

// prices are what the use of each scarce thing costs, in units, and how many of it there are.
type prices struct {
	things
	of, most []int
	// longer is what a cord of each kind costs, with what shorter ones are counted in.
	longer []int
	used   []int // by the cheapest ways
}

func newPrices(f *facts) *prices {
	t := thingsOf(f)
	p := &prices{t, make([]int, t.count()), slices.Repeat([]int{1}, t.count()), make([]int, t.kinds), make([]int, t.count())}
	left := 0
	for k := t.kinds - 1; k >= 0; k-- {
		left += f.problem.Stock.Counts[k]
		p.most[t.kind(k)] = left
	}
	return p
}

// begin forgets what was used, and returns what all that there is costs.
func (p *prices) begin() int {
	clear(p.used)
	total := 0
	for i, price := range p.of {
		total += price * p.most[i]
	}
	sum := 0
	for k := range p.longer {
		sum += p.of[p.kind(k)]
		p.longer[k] = sum
	}
	return total
}

// ofArc is what an arc costs, with what it uses.
func (p *prices) ofArc(a *arc, old *olds) int {
	price := int(a.cost)
	for _, u := range a.uses {
		if u != none {
			price += p.of[u]
		}
	}
	if a.kind != none {
		price += p.longer[a.kind]
	}
	if a.old != none {
		price -= old.off[a.old]
	}
	return price
}

// note notes what an arc uses.
func (p *prices) note(a *arc) {
	for _, u := range a.uses {
		if u != none {
			p.used[u]++
		}
	}
	for k := range int(a.kind) + 1 {
		p.used[p.kind(k)]++
	}
}

// olds are cords of the present patch by the move of one end of which a new cord is two plugs
// cheaper: those that are in no plan, and those that hang.
type olds struct {
	cords []int
	// off is what is off the price of a new cord that is made of one, at most; most is its
	// highest value. A cord that could be left hanging for one plug is worth no more than
	// that; of one that could mend a break so, nothing is counted.
	off, most []int
	took      []int
	in        [][]int // by jack, which of them
}

func newOlds(f *facts, b *alone) *olds {
	o := &olds{in: make([][]int, len(f.problem.Jacks))}
	for i, c := range f.problem.Present.Cords {
		if c[1] != graph.None && !f.isGone[i] {
			continue // a plug less in one place, and one more in another
		}
		most := 2 * unit
		switch {
		case b.mends(c):
			most = 0
		case !f.isGone[i] || b.hangs(i):
			most = unit
		}
		for _, j := range c {
			if j != graph.None && f.problem.Usable(j) {
				o.in[j] = append(o.in[j], len(o.cords))
			}
		}
		o.cords, o.most, o.off = append(o.cords, i), append(o.most, most), append(o.off, min(most, unit))
	}
	o.took = make([]int, len(o.cords))
	return o
}

// pay is what the old cords cost at least, beside the new ones that are made of them.
func (o *olds) pay(f *facts) int {
	total := 0
	for g, i := range o.cords {
		total += o.off[g] - (2-plugsOf(f.problem.Present.Cords[i]))*unit
	}
	return total
}
