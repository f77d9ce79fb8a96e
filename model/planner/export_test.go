package planner

import (
	"context"

	"bayhand/model/graph"
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/planner/bound"
	"bayhand/model/planner/cut"
	"bayhand/model/planner/exact"
	"bayhand/model/planner/problem"
	"bayhand/model/session"
)

// Options are those of a problem: the tests of the search ask it for plans without
// an order of steps.
type Options = problem.Options

// Find finds a plan.
func Find(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, o Options) (*plan.Plan, error) {
	return FindWithout(ctx, room, from, s, o)
}

// FindWithout finds a plan without some of its stages.
func FindWithout(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, o Options, stages ...string) (*plan.Plan, error) {
	m, err := newMaking(ctx, room, from, s, o)
	if err != nil {
		return nil, err
	}
	m.without = stages
	return m.find()
}

// FindWithWholePlans finds a plan, or says with whole plans what would make one possible.
func FindWithWholePlans(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, o Options) (*plan.Plan, error) {
	m, err := newMaking(ctx, room, from, s, o)
	if err != nil {
		return nil, err
	}
	m.wholly = true
	return m.find()
}

// LeftOut is how many wants and silences have to be left out at least, by counting, and the
// fewest that are enough; 0 where either is not known.
func LeftOut(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session) (least, fewest int, err error) {
	p, err := problem.New(room.For(s, from), from, s, Options{Prefer: plan.PreferFewest})
	if err != nil {
		return 0, 0, err
	}
	proof := cut.Find(p, nil, longCount)
	if proof == nil {
		return 0, 0, nil
	}
	return proof.LeftOut, len(exact.Relax(ctx, p, problem.Start(p)).FewestDropped(quickly)), nil
}

// LeftOutByPrices is how many wants and silences have to be left out at least, by prices, one or more; 0
// where that is not known.
func LeftOutByPrices(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session) (int, error) {
	m, err := newMaking(ctx, room, from, s, Options{Prefer: plan.PreferFewest, PastTies: true})
	if err != nil {
		return 0, err
	}
	least, owned := leavingOf(m, 1)
	if owned == nil {
		return 0, nil
	}
	return least, nil
}

// FewestLeftOut are wants and silences to leave out that are the fewest by prices; none where these are not
// found so.
func FewestLeftOut(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session) ([]string, error) {
	m, err := newMaking(ctx, room, from, s, Options{Prefer: plan.PreferFewest, PastTies: true})
	if err != nil {
		return nil, err
	}
	var all []string
	for _, w := range (trying{m}).fewestLeftOut() {
		all = append(all, w.Text)
	}
	return all, nil
}

// Floor is the bound of a problem.
func Floor(room *heard.Room, from patch.Patch, s *session.Session, o Options) (int, error) {
	p, err := problem.New(room.For(s, from), from, s, o)
	if err != nil {
		return 0, err
	}
	return bound.Of(p), nil
}

// Raised is the bound of a problem by prices, where so many plugs are known to suffice, with so many
// looks at an arc. Known is the patch that prices are held to; nil for prices of everything.
func Raised(room *heard.Room, from patch.Patch, s *session.Session, o Options, known *patch.Patch, plugs int, work int64) (int, error) {
	p, err := problem.New(room.For(s, from), from, s, o)
	if err != nil {
		return 0, err
	}
	var held *graph.Patch
	if known != nil {
		d, err := p.Numbered(*known)
		if err != nil {
			return 0, err
		}
		held = &d
	}
	least := bound.Raise(context.Background(), p, held, plugs, work).Least
	return least, nil
}

// NoneWithin says whether no plan is found with no more than so many plugs, which suffice, with
// what such plans may have by the prices of the bound, by clauses that tell of directions or not, with so
// much work for both.
func NoneWithin(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, o Options, plugs int, directed bool, toRaise, work int64) (bool, error) {
	p, err := problem.New(room.For(s, from), from, s, o)
	if err != nil {
		return false, err
	}
	margins := bound.Raise(ctx, p, nil, plugs+2, toRaise).Margins
	if margins == nil || p.AsksForWays() {
		return false, nil
	}
	found := exact.FindWithin(ctx, p, nil, margins.Within(plugs), exact.Aim{Most: plugs, Work: work, Directed: directed})
	return found.Impossible, nil
}

// Stages are the names of the stages.
func Stages() []string {
	var names []string
	for _, s := range stages {
		names = append(names, s.name)
	}
	return names
}

// ByOwned says whether there is no plan by what is owned alone, or by what plans may have of it; and
// whether one is found so.
func ByOwned(ctx context.Context, room *heard.Room, from patch.Patch, s *session.Session, work int64) (none, found bool, err error) {
	m, err := newMaking(ctx, room, from, s, Options{Prefer: plan.PreferFewest, PastTies: true})
	if err != nil {
		return false, false, err
	}
	m.unexplained = true
	if m.ownsTooLittle() {
		return true, false, nil
	}
	if m.owned == nil {
		return false, false, nil
	}
	o := m.findOwned(work, startOf(m))
	return o.Impossible, o.Best != nil, nil
}
