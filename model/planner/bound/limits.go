package bound

import (
	"slices"

	"bayhand/model/graph"
)

// limits are how many there are of each scarce thing, and between what its price is.
type limits struct {
	most, low, high []int
	// less is the old cord that is as much cheaper as a node costs, and of is that node; None for none.
	less, of []int
}

// dearest is the highest price of all: what 30,000 things cost at it is less than far. Where a
// number has 32 bits, that is sixteen plugs.
const dearest = far >> 15

func newLimits(f *facts, t things, o *olds) *limits {
	l := &limits{low: make([]int, t.count())}
	l.most, l.high = slices.Repeat([]int{1}, t.count()), slices.Repeat([]int{dearest}, t.count())
	l.less, l.of = slices.Repeat([]int{graph.None}, t.count()), slices.Repeat([]int{graph.None}, t.count())
	left := 0
	for k := t.kinds - 1; k >= 0; k-- {
		left += f.problem.Stock.Counts[k]
		l.most[t.kind(k)] = left
	}
	for g, most := range o.most {
		l.low[t.old(g)], l.high[t.old(g)] = -most, 0
		if n := o.of[g]; n != graph.None {
			l.pulls(n, t.old(g))
		}
	}
	if f.left > 0 {
		l.most[t.leftOut()] = f.left
	}
	return l
}

// pulls has the price of a node be what it costs that an old cord is pulled: its destination pays it where it is
// reached otherwise, or its source where it does not leave by it, and a new cord that is made of it is cheaper by that.
func (l *limits) pulls(node, old int) {
	l.most[node], l.most[old], l.high[node] = 0, 0, -l.low[old]
	l.less[node], l.of[old] = old, node
}

// holdTo leaves what a plan does not use without a price: where nothing is better than that plan, none
// is due there (complementary slackness), and prices rise sooner where there are fewer.
func (l *limits) holdTo(f *facts, t things, d graph.Patch) {
	state, plugged := f.problem.State(d), map[int]bool{}
	for _, part := range d.Parts() {
		for _, j := range part.Jacks() {
			plugged[j] = true
		}
	}
	silent := func(n int) bool { return len(state.HeardOn(state.NetOf(n))) == 0 }
	for n := range f.problem.Nodes {
		if silent(n) && l.less[n] == graph.None {
			l.high[n] = 0
		}
	}
	for j := range f.problem.Jacks {
		if !plugged[j] && silent(f.problem.Jacks[j].Node) {
			l.high[t.jack(j)] = 0
		}
	}
}
