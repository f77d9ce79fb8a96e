package arrange

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/studio"
)

// mostTried is how many layouts the planner looks at.
const mostTried = 4

// Propose finds layouts and recomputes with the planner what they claim: each
// session from rest, on the room as it is and as proposed. The one is taken that
// is the best by what the planner takes and by what check finds. A room that is wired
// is never made worse.
func Propose(ctx context.Context, q Request) (*Answer, error) {
	all, err := candidates(q)
	if err != nil {
		return nil, err
	}
	other, err := tidied(q)
	if err != nil {
		return nil, err
	}
	now, err := q.planNow(ctx)
	if err != nil {
		return nil, err
	}
	best, planned, err := judged(ctx, q, append(slices.Clone(all), repriced(q, other)...))
	if err != nil {
		return nil, err
	}
	a := best.answer(q, now, planned)
	a.Findings = Findings(q.Studio, best.Apply())
	a.Curve = curve(append(slices.Concat(all, other), best))
	if a.Rules, err = savings(q, all[0]); err != nil {
		return nil, err
	}
	a.Plugs.LeftOut, err = leftOut(ctx, q)
	return a, err
}

// judged is the best of the layouts, as the planner takes them, and of what exchanges between
// bays make of it, with its plans. What layouts are compared by needs no proof; of the best,
// what was not proved by the way is planned again.
func judged(ctx context.Context, q Request, all []*Layout) (best *Layout, planned []*plan.Plan, err error) {
	j, err := bestPlanned(ctx, q, all)
	if err != nil {
		return nil, nil, err
	}
	if j, err = j.exchanged(ctx, q); err != nil {
		return nil, nil, err
	}
	planned, err = proved(ctx, j.layout.Apply(), q, j.plans)
	return j.layout, planned, err
}

// bestPlanned is the best of the layouts, as the planner takes them. One that costs more than
// the best before all its sessions are planned is left at once.
func bestPlanned(ctx context.Context, q Request, all []*Layout) (judgement, error) {
	slices.SortStableFunc(all, func(a, b *Layout) int { return cmp.Compare(a.columns.score(), b.columns.score()) })
	kept, j := distinct(all), judgement{sum: math.MaxInt64}
	for n, l := range kept {
		q.tell("planning each session", n, len(kept))
		plans, sum, err := l.planned(ctx, q, j.sum)
		if err != nil {
			return j, err
		}
		if sum < j.sum || j.layout == nil {
			j = judgement{l, plans, sum}
		}
	}
	return j, nil
}

// planned are short plans of all sessions, with the objective by what they take. It ends
// where that reaches the most.
func (l *Layout) planned(ctx context.Context, q Request, most int64) (plans []*plan.Plan, sum int64, err error) {
	price, s := q.price(), l.Apply()
	sum = price.line*int64(l.columns.lines()) + price.kinds*int64(len(Findings(q.Studio, s)))
	for n := 0; n < len(q.Sessions) && sum < most; n++ {
		p, err := planOne(ctx, s, q.Sessions[n], draftEffort)
		if err != nil {
			return nil, 0, err
		}
		plans = append(plans, p)
		plugs := int64(p.Plugs)
		if !p.Given {
			plugs = forbidden
		}
		sum += price.plug * plugs * int64(max(1, q.Sessions[n].Weight))
	}
	return plans, sum, nil
}

// repriced are layouts that were found for other prices, with what they cost at
// those that are asked for.
func repriced(q Request, all []*Layout) []*Layout {
	kept := make([]*Layout, 0, len(all))
	for _, l := range all {
		one := *l
		one.columns = l.columns.copied()
		one.columns.pricing = l.columns.pricing.repriced(q.price())
		kept = append(kept, &one)
	}
	return kept
}

// distinct are the first layouts that differ in what a person sees.
func distinct(all []*Layout) []*Layout {
	var kept []*Layout
	for _, l := range all {
		same := func(k *Layout) bool {
			return slices.Equal(k.columns.top, l.columns.top) && slices.Equal(k.columns.bottom, l.columns.bottom)
		}
		if len(kept) < mostTried && !slices.ContainsFunc(kept, same) {
			kept = append(kept, l)
		}
	}
	return kept
}

// planAll plans each of some sessions from rest.
func (q *Request) planAll(ctx context.Context, s *studio.Studio, sessions []Weighted) ([]*plan.Plan, error) {
	var all []*plan.Plan
	for _, one := range sessions {
		p, err := planOne(ctx, s, one, q.planEffort())
		if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
	return all, nil
}

// planNow plans each session in the room as it is. Where nothing is wired no want can be
// had, and to say why of each would take longer than all the rest.
func (q *Request) planNow(ctx context.Context) ([]*plan.Plan, error) {
	if len(q.Studio.Wires) > 0 {
		return q.planAll(ctx, q.Studio, q.Sessions)
	}
	all := make([]*plan.Plan, len(q.Sessions))
	for n, one := range q.Sessions {
		all[n] = &plan.Plan{Given: len(one.Session.Wants) == 0}
	}
	return all, nil
}

// proved are plans of all sessions, of which those that are not proved are made again
// with more work.
func proved(ctx context.Context, s *studio.Studio, q Request, short []*plan.Plan) ([]*plan.Plan, error) {
	all := make([]*plan.Plan, len(q.Sessions))
	copy(all, short)
	for n, one := range q.Sessions {
		if all[n] != nil && !all[n].Stopped {
			continue
		}
		var err error
		if all[n], err = planOne(ctx, s, one, q.planEffort()); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// planEffort is the work of a plan that is shown, in the planner's measure; draftEffort
// that of one that only tells layouts apart.
func (q *Request) planEffort() int64 {
	if q.Effort == 0 {
		return DefaultEffort
	}
	return int64(q.Effort)
}

const draftEffort = 1

// planOne plans a session from rest.
func planOne(ctx context.Context, s *studio.Studio, one Weighted, effort int64) (*plan.Plan, error) {
	// The patch that a session had last is of the room as it was.
	bare := *one.Session
	bare.Patch = nil
	p, err := planner.Make(ctx, plan.Request{Studio: s, From: s.Rest, Session: &bare, Prefer: plan.PreferPlain, Effort: effort})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", bare.Name, err)
	}
	return p, nil
}
