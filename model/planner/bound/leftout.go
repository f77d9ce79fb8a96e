package bound

import (
	"context"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// OfOwnedLeaving is OfOwned for plans that leave out so many wants at most, and any silences: none says
// that there is none of these either, so that more has to be left out.
func OfOwnedLeaving(ctx context.Context, p *problem.Problem, left int, work int64) (o *Owned, none bool) {
	if p.Options.LeaveCords || len(p.Ganged) > 0 {
		return nil, false
	}
	empty := *p
	empty.Present, empty.Options.Prefer = graph.Patch{}, plan.PreferFewest
	f := newFacts(&empty, false)
	f.cordsAlone, f.left = true, left
	return f.owned(ctx, plugsOwned(p), work)
}

// addLeftOut lets the source do without each of its ends, where one of those that may be left out is
// taken for it.
func (f *networks) addLeftOut() {
	for i, e := range f.of.ends {
		end := f.add()
		f.addArc(e, end, 0, graph.None)
		f.addArc(f.of.root, end, 0, graph.None, f.things.leftOut())
		f.of.ends[i] = end
	}
}

// choice is some wants to leave out, and what that saves by the prices, in units.
type choice struct {
	saved, rank int
	wants       []int
}

func (c choice) better(o choice) bool {
	return c.saved > o.saved || c.saved == o.saved && c.rank > o.rank
}

// Leave are as many wants as may be left out, by their numbers, without which the ways cost least by the
// prices; of those that save as much the ones that rank higher. Nil where so many are not known.
func (o *Owned) Leave(rank func(want int) int) []int {
	a := o.margins.ascent
	left := a.prices.things.leftOut()
	was := a.prices.of[left]
	a.prices.of[left] = dearest
	defer func() { a.prices.of[left] = was }()
	all := []choice{{}}
	for _, s := range a.asked() {
		if len(a.problem.Nodes[a.problem.Node[a.problem.Sources[s]]].Ports) == 0 {
			all = a.withChoices(all, a.choices(s, rank))
		}
	}
	if len(all) <= a.left {
		return nil
	}
	return all[a.left].wants
}

// withChoices are the best of two lists together, by how many wants they leave out, no more than may be.
func (a *ascent) withChoices(all, more []choice) []choice {
	sum := make([]choice, min(a.left, len(all)+len(more)-2)+1)
	for i := range sum {
		sum[i].saved = -1
	}
	for i, one := range all {
		for k, other := range more {
			both := choice{one.saved + other.saved, one.rank + other.rank, nil}
			if i+k < len(sum) && one.saved >= 0 && other.saved >= 0 && (sum[i+k].saved < 0 || both.better(sum[i+k])) {
				both.wants = slices.Concat(one.wants, other.wants)
				sum[i+k] = both
			}
		}
	}
	return sum
}

// choices are the best wants of a source to leave out, by how many.
func (a *ascent) choices(source int, rank func(want int) int) []choice {
	n := a.networks.make(source, true)
	a.leasts.near(n, far)
	ends, wants := a.dearWants(n, source)
	costs := make([]int, 1<<len(ends))
	for set := 1; set < len(costs); set++ {
		var some []int
		for i, e := range ends {
			if set>>i&1 == 1 {
				some = append(some, e)
			}
		}
		costs[set] = a.tree.grow(n, some, far)
	}
	best := []choice{{}}
	whole := costs[len(costs)-1]
	for kept := range costs {
		c := choice{saved: whole - costs[kept]}
		for i, at := range wants {
			if kept>>i&1 == 0 {
				c.wants = append(c.wants, at...)
			}
		}
		for _, w := range c.wants {
			c.rank += rank(w)
		}
		for len(best) <= len(c.wants) {
			best = append(best, choice{saved: -1})
		}
		if len(c.wants) > 0 && (best[len(c.wants)].saved < 0 || c.better(best[len(c.wants)])) {
			best[len(c.wants)] = c
		}
	}
	return best
}

// dearWants are the ends of a source that cost something, no more than are looked at together, with the
// wants at each.
func (a *ascent) dearWants(n *network, source int) (ends []int, wants [][]int) {
	price := func(i int) int { return n.near[n.ends[i]] }
	var dear []int
	for i := range n.ends {
		if price(i) > 0 {
			dear = append(dear, i)
		}
	}
	slices.SortStableFunc(dear, func(x, y int) int { return price(y) - price(x) })
	for _, i := range dear[:min(len(dear), mostEnds)] {
		var at []int
		for w, one := range a.problem.Session.Wants {
			if a.problem.SourceOf[one.Source] == source && a.problem.Node[a.problem.Number[one.Destination]] == n.asks[i] {
				at = append(at, w)
			}
		}
		ends, wants = append(ends, n.ends[i]), append(wants, at)
	}
	return ends, wants
}
