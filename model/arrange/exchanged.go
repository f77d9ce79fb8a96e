package arrange

import (
	"cmp"
	"context"
	"slices"

	"bayhand/model/plan"
)

// Between bays that no cord joins, and beside matrices, the sum over columns is an
// estimate. So the last stage exchanges runs of columns of two bays where the sum calls that
// near, and lets the planner decide.

// judgement is a layout with what the planner takes on it.
type judgement struct {
	layout *Layout
	// plans are short ones of all sessions, and sum the objective by what they take.
	plans []*plan.Plan
	sum   int64
}

// mostExchanged is how many exchanges the planner is asked about, in parts of the effort.
const mostExchanged = 1

// exchanged is the layout after those exchanges between bays that the planner finds better,
// one at a time, of the nearest by the sum over columns.
func (j judgement) exchanged(ctx context.Context, q Request) (judgement, error) {
	asked, most := 0, max(1, q.planEffort()*mostExchanged)
	for better := j.estimated(q); better && asked < int(most); {
		better = false
		for _, l := range j.layout.neighbours(&q, int(most)-asked) {
			q.tell("planning exchanges between bays", asked, int(most))
			asked++
			plans, sum, err := l.planned(ctx, q, j.sum)
			if err != nil {
				return j, err
			}
			if sum < j.sum {
				j, better = judgement{l, plans, sum}, true
				break
			}
		}
	}
	return j, nil
}

// estimated says whether there are several bays, and the planner may take something else
// than the columns add up to.
func (j judgement) estimated(q Request) bool {
	c, sum := j.layout.columns, int64(0)
	for n, p := range j.plans {
		sum += int64(p.Plugs * max(1, q.Sessions[n].Weight))
	}
	return len(c.bays()) > 1 && (c.room.zoned || sum != c.plugs())
}

// exchange is one of runs of columns, or of a row of them, with what it changes in the
// objective.
type exchange struct {
	part       part
	a, b, size int
	change     int64
}

// neighbours are the layouts after one exchange between two bays, the nearest first.
func (l *Layout) neighbours(q *Request, most int) []*Layout {
	var all []*Layout
	for _, x := range l.nearExchanges(q) {
		if len(all) == most {
			break
		}
		if made := l.after(q, x); made != nil {
			all = append(all, made)
		}
	}
	return all
}

// nearExchanges are those of runs of two bays that cost a cord in each session at most, the
// cheapest first. It stops after so many looks at an exchange as a part of the effort allows.
func (l *Layout) nearExchanges(q *Request) []exchange {
	c, looks := l.columns.copied(), q.planEffort()*1_000_000/8
	near := 2 * c.pricing.price.plug * c.pricing.weight
	var all []exchange
	for _, r := range acrossBays(c, int(looks)) {
		for _, p := range []part{both, tops, bottoms} {
			before := c.aroundBoth(r.a, r.b, r.size)
			c.swap(p, r.a, r.b, r.size)
			if r.part, r.change = p, c.aroundBoth(r.a, r.b, r.size)-before; r.change <= near {
				all = append(all, r)
			}
			c.swap(p, r.a, r.b, r.size)
		}
	}
	slices.SortStableFunc(all, func(x, y exchange) int { return cmp.Compare(x.change, y.change) })
	return all
}

// acrossBays are the pairs of runs of one length on two bays, so many at most.
func acrossBays(c *columns, most int) []exchange {
	var all []exchange
	for _, size := range []int{8, 4, 2, 1} {
		for a := range c.top {
			for b := a + size; b+size <= len(c.top) && len(all) < most; b++ {
				if c.room.slots[a].bay != c.room.slots[b].bay && !c.begins(a, a+size) && !c.begins(b, b+size) {
					all = append(all, exchange{a: a, b: b, size: size})
				}
			}
		}
	}
	return all
}

// after is the layout after an exchange, nil where that may not be. In a room that is not
// wired yet its blanks are at the end of each bay, and its blocks in order.
func (l *Layout) after(q *Request, x exchange) *Layout {
	c := l.columns.copied()
	c.pricing = c.pricing.unevened()
	c.swap(x.part, x.a, x.b, x.size)
	if !c.room.wired {
		tidy(c, q)
	}
	c.openCycles()
	if c.score() >= forbidden || c.cyclic() || (walls{c}).crossed() || q.Moves >= 0 && c.moves() > q.Moves {
		return nil
	}
	return l.remade(q, c)
}
