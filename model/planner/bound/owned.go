package bound

import (
	"context"

	"bayhand/model/graph"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// Owned says what plans may have, since no more can be in a bay than is owned, or has a jack. All is
// reckoned as if the bay was empty before.
type Owned struct {
	// Least is how many plugs a plan puts in at least, Most how many it can.
	Least, Most int
	margins     *Margins
}

// OfOwned finds what plans may have; nil where nothing is known. None says that every plan would
// put in more than is owned, so that there is none. Work is how many looks at an arc it may take.
func OfOwned(ctx context.Context, p *problem.Problem, work int64) (o *Owned, none bool) {
	if p.Options.LeaveCords || len(p.Ganged) > 0 {
		return nil, false
	}
	empty := *p
	empty.Present, empty.Options.Prefer = graph.Patch{}, plan.PreferFewest
	plugs := plugsOwned(p)
	f := newFacts(&empty, false)
	f.cordsAlone = true
	if o, none = f.owned(ctx, plugs, work); none || p.Dummies < 0 || p.Stock.Unlimited || len(p.Ports) > 0 {
		return o, none
	}
	all := newFacts(&empty, false)
	all.toBreak = 2 * unit
	with, none := all.owned(ctx, 2*thingsOwned(p), work)
	if none || o == nil || with != nil && with.Most-with.Least < o.Most-o.Least {
		o = with
	}
	return o, none
}

// plugsOwned is how many plugs of cords can be in the bay at most.
func plugsOwned(p *problem.Problem) int {
	jacks, plugs := 0, 0
	for j := range p.Jacks {
		if p.Usable(j) && !p.Jacks[j].Socket {
			jacks++
		}
	}
	for _, n := range p.Stock.Counts {
		plugs += 2 * n
	}
	if p.Stock.Unlimited {
		return jacks
	}
	return min(plugs, jacks)
}

// owned says what plans may have that put in so many plugs at most.
func (f *facts) owned(ctx context.Context, plugs int, work int64) (o *Owned, none bool) {
	r := raise(ctx, f, nil, plugs+1, work)
	switch {
	case r.Least > plugs:
		return nil, true
	case r.Margins == nil || f.problem.AsksForWays():
		return nil, false
	}
	return &Owned{r.Least, plugs, r.Margins}, false
}

// Within is what plans may have that put in no more than so many plugs, from least to most.
func (o *Owned) Within(plugs int) *problem.Narrowed {
	return o.margins.Within(plugs)
}

// About is what plans may have that put in no more than so many plugs, or than some more, as long as that is
// hardly more; and than how many.
func (o *Owned) About(plugs int) (in *problem.Narrowed, most int) {
	return o.margins.About(plugs, o.Most)
}

// thingsOwned is how many cords and dummies can be in the bay at most.
func thingsOwned(p *problem.Problem) int {
	things := p.Dummies
	for _, n := range p.Stock.Counts {
		things += n
	}
	return things
}
