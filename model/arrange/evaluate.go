package arrange

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Answer is a proposal with everything that is claimed of it.
type Answer struct {
	Sessions []SessionPlugs `json:"sessions"`
	Plugs    Plugs          `json:"plugs"`
	Lines    Lines          `json:"lines"`
	Reach    Reach          `json:"reach"`
	Columns  []Column       `json:"columns"`
	Moves    []Move         `json:"moves"`
	Curve    []Point        `json:"curve"`
	Cords    []Cords        `json:"cords"`
	Dummies  int            `json:"dummies"`
	Blanks   Blanks         `json:"blanks"`
	Mults    Mults          `json:"mults"`
	Rules    []Saving       `json:"rules"`
	Unplaced []Unplaced     `json:"unplaced"`
	// Straight are cables that come to no bay.
	Straight []Straight `json:"straight"`
	// Findings are what check says of the proposal and not of the room as it is.
	Findings text.Problems `json:"findings"`
	// Layout is what can be applied.
	Layout *Layout `json:"-"`
}

// SessionPlugs are the plugs of one session from rest: now, where the room is
// wired and the session can be given, and as proposed; -1 where it cannot be
// given. Least is a proved bound for the proposal.
type SessionPlugs struct {
	Session  string `json:"session"`
	Weight   int    `json:"weight"`
	Now      int    `json:"now"`
	Proposed int    `json:"proposed"`
	Least    int    `json:"least"`
}

// Plugs are those of all sessions by their weights. Least is a proved bound on
// those of any layout, 0 where none is known. Exact says that the sum over columns
// is what the planner takes. LeftOut is the sum
// where each session is planned on a layout made from the others: what is gained
// there is not fit to the very sessions; -1 where there are too few sessions.
type Plugs struct {
	Now      int     `json:"now"`
	Proposed int     `json:"proposed"`
	Least    float64 `json:"least"`
	Exact    bool    `json:"exact"`
	LeftOut  int     `json:"left-out"`
}

// Lines are those of wiring.
type Lines struct {
	Now      int `json:"now"`
	Proposed int `json:"proposed"`
	Least    int `json:"least"`
}

// Reach is how far all cords of all sessions span, by their weights.
type Reach struct {
	Now      measure.Length `json:"now"`
	Proposed measure.Length `json:"proposed"`
}

// reach is how far the cords of plans span.
func reach(s *studio.Studio, sessions []Weighted, plans []*plan.Plan) measure.Length {
	sum := measure.Length(0)
	for n, p := range plans {
		for _, c := range p.Target.Cords {
			if way, ok := layout.Distance(s, c.A, c.B); ok {
				sum += way * measure.Length(max(1, sessions[n].Weight))
			}
		}
	}
	return sum
}

// notGiven are the plugs of a session that cannot be given.
const notGiven = -1

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
	now, err := planAll(ctx, q.Studio, q.Sessions)
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

// judged is the best of the layouts, as the planner takes them, with its plans. One that
// costs more than the best before all its sessions are planned is left at once.
func judged(ctx context.Context, q Request, all []*Layout) (best *Layout, planned []*plan.Plan, err error) {
	slices.SortStableFunc(all, func(a, b *Layout) int { return cmp.Compare(a.columns.score(), b.columns.score()) })
	kept, least := distinct(all), int64(math.MaxInt64)
	for n, l := range kept {
		q.tell("planning each session", n, len(kept))
		sum, err := l.planned(ctx, q, least)
		if err != nil {
			return nil, nil, err
		}
		if sum < least || best == nil {
			best, least = l, sum
		}
	}
	planned, err = planAll(ctx, best.Apply(), q.Sessions)
	return best, planned, err
}

// planned is the objective by what the plans of all sessions take. It ends where that
// reaches the most.
func (l *Layout) planned(ctx context.Context, q Request, most int64) (sum int64, err error) {
	price, s := q.price(), l.Apply()
	sum = price.line*int64(l.columns.lines()) + price.kinds*int64(len(Findings(q.Studio, s)))
	for n := 0; n < len(q.Sessions) && sum < most; n++ {
		p, err := planOne(ctx, s, q.Sessions[n], draftEffort)
		if err != nil {
			return 0, err
		}
		plugs := int64(p.Plugs)
		if !p.Given {
			plugs = forbidden
		}
		sum += price.plug * plugs * int64(max(1, q.Sessions[n].Weight))
	}
	return sum, nil
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

// answer says what is claimed of a layout.
func (l *Layout) answer(q Request, now, made []*plan.Plan) *Answer {
	a := &Answer{
		Layout: l, Columns: l.Columns(), Moves: l.Moves(), Sessions: []SessionPlugs{},
		Lines: Lines{Proposed: l.columns.lines(), Least: l.columns.room.leastLines(), Now: linesNow(l.columns.room)},
		Plugs: Plugs{Least: l.provedLeast(), Exact: true},
		Reach: Reach{reach(q.Studio, q.Sessions, now), reach(l.Apply(), q.Sessions, made)},
	}
	a.Unplaced, a.Straight, a.Mults, a.Blanks = l.unplaced(), l.Straight(), l.mults, l.blanks()
	a.Cords, a.Dummies = toOwn(l.Apply(), made)
	for n, s := range q.Sessions {
		one := SessionPlugs{Session: s.Session.Name, Weight: max(1, s.Weight), Now: plugsOf(now[n]), Proposed: plugsOf(made[n]), Least: made[n].Least}
		a.Sessions = append(a.Sessions, one)
		a.Plugs.Exact = a.Plugs.Exact && one.Proposed != notGiven
		a.Plugs.Proposed += one.Weight * max(0, one.Proposed)
		a.Plugs.Now += one.Weight * max(0, one.Now)
	}
	a.Plugs.Exact = a.Plugs.Exact && int64(a.Plugs.Proposed) == l.columns.plugs()
	return a
}

// provedLeast is the bound of the sum over columns where that is one on the plugs
// themselves: elsewhere matrices, ties and strapped normals carry signals without
// a cord, and 0 is all that is proved.
func (l *Layout) provedLeast() float64 {
	s := l.columns.room.studio
	if len(s.Matrices)+len(s.Ties)+len(s.Normals)+len(s.Mults) > 0 {
		return 0
	}
	return float64(l.least) / 2
}

func plugsOf(p *plan.Plan) int {
	if !p.Given {
		return notGiven
	}
	return p.Plugs
}

// planAll plans each session from rest.
func planAll(ctx context.Context, s *studio.Studio, sessions []Weighted) ([]*plan.Plan, error) {
	var all []*plan.Plan
	for _, one := range sessions {
		p, err := planOne(ctx, s, one, planEffort)
		if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
	return all, nil
}

// The work of a plan that is shown, and of one that only tells layouts apart.
const (
	planEffort  = 40
	draftEffort = 4
)

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
		whole.columns = l.columns.asking(&q)
		whole.multColumns = map[int]bool{}
		whole.findMults(&q)
		made, err := planAll(ctx, whole.Apply(), out)
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

// asking is the same layout with what other sessions ask of it.
func (c *columns) asking(q *Request) *columns {
	d := c.copied()
	pricing, problem := *c.pricing, *c.pricing.problem
	problem.demand = c.room.demand(q)
	pricing.problem, d.pricing = &problem, &pricing
	return d
}

// linesNow are the lines of wiring that the room has, of what is arranged.
func linesNow(r *room) int {
	now := newColumns(r, nil)
	outputs, inputs := map[name.Point]int{}, map[name.Point]int{}
	for n, p := range r.outputs {
		outputs[p.jack] = n
	}
	for n, p := range r.inputs {
		inputs[p.jack] = n
	}
	of := func(all map[name.Point]int, p name.Point) int {
		if n, has := all[p]; has {
			return n
		}
		return none
	}
	for n, s := range r.slots {
		bay := r.studio.Bays[s.bay]
		now.put(n, pairing{of(outputs, bay.TopJack(s.number)), of(inputs, bay.BottomJack(s.number))})
	}
	return now.lines()
}
