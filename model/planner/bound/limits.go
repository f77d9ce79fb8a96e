package bound

import (
	"slices"

	"bayhand/model/graph"
)

// limits are how many there are of each scarce thing, and between what its price is.
type limits struct{ most, low, high []int }

// dearest is the highest price of all: what 30,000 things cost at it is less than far. Where a
// number has 32 bits, that is sixteen plugs.
const dearest = far >> 15

func newLimits(f *facts, t things, o *olds) *limits {
	l := &limits{slices.Repeat([]int{1}, t.count()), make([]int, t.count()), slices.Repeat([]int{dearest}, t.count())}
	left := 0
	for k := t.kinds - 1; k >= 0; k-- {
		left += f.problem.Stock.Counts[k]
		l.most[t.kind(k)] = left
	}
	for g, most := range o.most {
		l.low[t.old(g)], l.high[t.old(g)] = -most, 0
	}
	if f.left > 0 {
		l.most[t.leftOut()] = f.left
	}
	return l
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
		if silent(n) {
			l.high[n] = 0
		}
	}
	for j := range f.problem.Jacks {
		if !plugged[j] && silent(f.problem.Jacks[j].Node) {
			l.high[t.jack(j)] = 0
		}
	}
}
