package bound

import (
	"bayhand/model/graph"
)

// unit is one plug in prices. They are whole numbers, so that nothing in a proof by them is
// rounded.
const unit = 1 << 10

// none stands for no thing or kind of an arc.
const none = int32(graph.None)

// things are numbers for what is scarce: nodes, each of which has one source; jacks, each of
// which has one plug, or none while a normal holds that a plug there breaks; kinds of
// cord, where a kind stands for all cords as long or longer; old cords, of each of which one
// new cord is made; and wants that are left out, where some may be.
type things struct{ nodes, jacks, kinds, olds, left int }

func thingsOf(f *facts, o *olds) things {
	return things{len(f.problem.Nodes), len(f.problem.Jacks), len(f.problem.Stock.Kinds), len(o.cords), min(1, f.left)}
}

func (t things) count() int     { return t.leftOut() + t.left }
func (t things) jack(j int) int { return t.nodes + j }
func (t things) kind(k int) int { return t.nodes + t.jacks + k }
func (t things) old(g int) int  { return t.nodes + t.jacks + t.kinds + g }
func (t things) leftOut() int   { return t.nodes + t.jacks + t.kinds + t.olds }

// prices are what the use of each scarce thing costs, in units: of an old cord less than
// nothing, since a new one that is made of it is cheaper.
type prices struct {
	things things
	of     []int
	// longer is what a cord of each kind costs, with what shorter ones are counted in.
	longer []int
}

func newPrices(t things) *prices {
	return &prices{t, make([]int, t.count()), make([]int, t.kinds)}
}

// set takes other prices.
func (p *prices) set(price func(thing int) int) {
	for i := range p.of {
		p.of[i] = price(i)
	}
	sum := 0
	for k := range p.longer {
		sum += p.of[p.things.kind(k)]
		p.longer[k] = sum
	}
}

// ofAll is what all that there is costs.
func (p *prices) ofAll(l *limits) int {
	total := 0
	for i, price := range p.of {
		total += price * l.most[i]
	}
	return total
}

// ofArc is what an arc costs, with what it uses.
func (p *prices) ofArc(a *arc) int {
	price := int(a.cost)
	for _, u := range a.uses {
		if u == none {
			break
		}
		price += p.of[u]
	}
	if a.kind != none {
		price += p.longer[a.kind]
	}
	return price
}

// note notes what an arc uses.
func (t things) note(used []int, a *arc) {
	for _, u := range a.uses {
		if u == none {
			break
		}
		used[u]++
	}
	for k := range int(a.kind) + 1 {
		used[t.kind(k)]++
	}
}
