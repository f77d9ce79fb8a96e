package arrange

import (
	"context"
)

// mostFolds is in how many parts the sessions are left out.
const mostFolds = 12

// leftOut plans each session on a layout made from the others: of many sessions
// those of one of so many parts at a time.
func leftOut(ctx context.Context, q Request) (int, error) {
	if len(q.Sessions) < 2 {
		return notGiven, nil
	}
	sum, folds := 0, min(mostFolds, len(q.Sessions))
	for fold := range folds {
		q.tell("planning each session on a layout of the others", fold, folds)
		others := q
		others.Progress, others.Sessions, others.all, others.Effort = nil, nil, q.Sessions, q.aside()
		var out []Weighted
		for n, s := range q.Sessions {
			if n%folds == fold {
				out = append(out, s)
			} else {
				others.Sessions = append(others.Sessions, s)
			}
		}
		l, err := Lay(others)
		if err != nil {
			return notGiven, err
		}
		// A split that only they have needs a mult like any other.
		whole := *l
		whole.columns = askedOf(l.columns, &q)
		whole.multColumns = map[int]bool{}
		whole.findMults(&q)
		made, err := q.planAll(ctx, whole.Apply(), out)
		if err != nil {
			return notGiven, err
		}
		for n, p := range made {
			if !p.Given {
				return notGiven, nil
			}
			sum += max(1, out[n].Weight) * p.Plugs
		}
	}
	return sum, nil
}

// askedOf is a layout with what other sessions ask of it.
func askedOf(c *columns, q *Request) *columns {
	d := c.copied()
	pricing, problem := *c.pricing, *c.pricing.problem
	problem.demand = c.room.demand(q)
	pricing.problem, d.pricing = &problem, &pricing
	return d
}
