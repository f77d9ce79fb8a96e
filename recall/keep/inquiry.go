package keep

import (
	"context"
	"errors"
	"runtime"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// A plan takes from milliseconds to minutes, and to cut a large studio to the rooms of a
// session takes longer than a tick may wait. So both are done beside the loop: the machine
// puts an inquiry, which has all in it that the answer depends on, as values that nobody
// changes, and the answer comes in as a fact. Whoever needs the plan asks again then. The
// answer holds where nothing changed meanwhile that it depends on, which is cheap to say
// of most that happens elsewhere; else the inquiry is put again: the studio is cut anew,
// and where that leads to the same question, the plan is the one that was made.

// errPlanning says that the plan is being made.
var errPlanning = errors.New("the plan is being made")

// mostChanged is how often a recall is planned again since something in its scope
// changed meanwhile. Then acts in there wait until it is planned.
const mostChanged = 3

// asker is who needs a plan: an ask by its number, or the machine itself, for a session
// of the intent.
type asker struct {
	ask     int
	session string
}

// inquiry is what somebody needs a plan for, and what came of it.
type inquiry struct {
	number int
	of     asker
	basis  basis
	// before are the answers of the planner to what the same asker needed before.
	before []solved
	// cut is true once scope is known, which the plan is made for; nil for all of the
	// studio.
	cut   bool
	scope *scope.Scope
	// answered is true once outcome is the answer.
	answered bool
	outcome  outcome
}

// mayTouch says whether the plan may touch a place. As long as its scope is not known,
// that is any which no session in other rooms has.
func (one inquiry) mayTouch(p name.Point) bool {
	if !one.cut {
		return one.basis.mayTouch(p)
	}
	return one.scope == nil || one.scope.Has(p)
}

// inquiries are those whose answers are needed, one for an asker.
type inquiries struct {
	all []inquiry
	// ever counts those that there ever were, for their numbers.
	ever int
}

func (q inquiries) of(who asker) (inquiry, bool) {
	i := slices.IndexFunc(q.all, func(one inquiry) bool { return one.of == who })
	if i < 0 {
		return inquiry{}, false
	}
	return q.all[i], true
}

// open says whether an answer is awaited.
func (q inquiries) open(of asker) bool {
	one, is := q.of(of)
	return is && !one.answered
}

// change changes one by its number, if it is still needed.
func (q *inquiries) change(number int, to func(*inquiry)) {
	i := slices.IndexFunc(q.all, func(one inquiry) bool { return one.number == number })
	if i >= 0 {
		q.all = slices.Clone(q.all)
		to(&q.all[i])
	}
}

// inquirer puts inquiries, for whoever needs a plan.
type inquirer struct {
	*ledger
	inquiries *inquiries
}

// way is the plan for a session of an intent, where it was made from what is so now.
// Otherwise it is asked for, and is errPlanning.
func (i inquirer) way(of asker, in Intent, session string) (way, error) {
	now := basis{i.planning(), in, session}
	had, is := i.inquiries.of(of)
	if is && !had.answered {
		return way{}, errPlanning // it is looked at again with its answer
	}
	if is && had.basis.same(now, had.outcome.question) {
		if had.outcome.err != nil {
			return way{}, had.outcome.err
		}
		return had.outcome.way.numbered(in, i.memory.Intent), nil
	}
	i.forget(of)
	i.inquiries.ever++
	one := inquiry{number: i.inquiries.ever, of: of, basis: now, before: had.outcome.solved}
	i.inquiries.all = append(slices.Clone(i.inquiries.all), one)
	i.out.questions = append(i.out.questions, one)
	return way{}, errPlanning
}

// forget lets go of what an asker needed. What is still worked on is stopped.
func (i inquirer) forget(of asker) {
	if i.inquiries.open(of) {
		one, _ := i.inquiries.of(of)
		i.out.stops = append(i.out.stops, one.number)
	}
	i.inquiries.all = slices.DeleteFunc(slices.Clone(i.inquiries.all), func(one inquiry) bool { return one.of == of })
}

// scopeKnown is the fact that the scope of an inquiry is known.
type scopeKnown struct {
	number int
	scope  *scope.Scope
}

func (f scopeKnown) happened(k *machine) {
	k.inquiries.change(f.number, func(one *inquiry) { one.cut, one.scope = true, f.scope })
}

// planned is the fact that an inquiry was answered.
type planned struct {
	number  int
	outcome outcome
}

func (f planned) happened(k *machine) {
	k.inquiries.change(f.number, func(one *inquiry) {
		one.answered, one.outcome = true, f.outcome
		one.cut, one.scope = true, f.outcome.question.scope
	})
}

// turns is how much is worked out at a time: cuts, plans of parts of the studio, and plans
// of all of it; as many as leave a processor to the loop. A plan of all of it may take
// long, and keeps none of a part from being made; no plan keeps a cut from being made.
type turns struct{ cut, part, whole chan struct{} }

func newTurns() turns {
	many := max(1, runtime.GOMAXPROCS(0)-1)
	return turns{make(chan struct{}, many), make(chan struct{}, many), make(chan struct{}, 1)}
}

func (t turns) of(s *scope.Scope) chan struct{} {
	if s == nil {
		return t.whole
	}
	return t.part
}

// inTurn does something when there is a turn for it, and not where nobody needs it any
// more.
func inTurn(ctx context.Context, turn chan struct{}, do func()) error {
	select {
	case turn <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	defer func() { <-turn }()
	do()
	return nil
}

// put has an inquiry worked out.
func (k *Keeper) put(ctx context.Context, one inquiry) {
	ctx, stop := context.WithCancel(ctx)
	k.planners[one.number] = stop
	tell := func(f fact) {
		select {
		case k.facts <- f:
		case <-ctx.Done():
		}
	}
	ask := func(q question) (made *plan.Plan, err error) {
		tell(scopeKnown{one.number, q.scope})
		if ended := inTurn(ctx, k.turns.of(q.scope), func() { made, err = k.config.Plan(ctx, q.ask) }); ended != nil {
			return nil, ended
		}
		return made, err
	}
	cut := func(do func()) error { return inTurn(ctx, k.turns.cut, do) }
	k.running.Go(func() { tell(planned{one.number, one.workOut(ask, cut)}) })
}

// stop ends the work on an inquiry.
func (k *Keeper) stop(number int) {
	if stop := k.planners[number]; stop != nil {
		stop()
		delete(k.planners, number)
	}
}
