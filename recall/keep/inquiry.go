package keep

import (
	"context"
	"errors"
	"reflect"
	"runtime"
	"slices"

	"bayhand/model/plan"
	"bayhand/model/scope"
)

// A plan takes from milliseconds to minutes, and is made beside the loop: the machine
// puts a question to the planner, and the answer comes in as a fact. The planner is a
// pure function, so that the answer holds as long as the question is the same, which
// has all in it that a plan depends on: the part of the studio, the patch that is in
// there, the session. Whoever needs the plan asks again when the answer is there. Where
// anything in its scope changed meanwhile that is another question, and it is put again.

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

// inquiry is a question that was put to the planner.
type inquiry struct {
	number   int
	of       asker
	question plan.Request
	// scope is the one that the question is about; nil for all of the studio.
	scope *scope.Scope
	// answered is true once plan or err is the answer.
	answered bool
	plan     *plan.Plan
	err      error
}

// inquiries are those whose answers are needed.
type inquiries struct {
	all []inquiry
	// ever counts those that there ever were, for their numbers.
	ever int
}

// open says whether an answer is awaited.
func (q inquiries) open(of asker) bool {
	return slices.ContainsFunc(q.all, func(one inquiry) bool { return one.of == of && !one.answered })
}

// inquirer puts questions to the planner, for whoever needs a plan.
type inquirer struct {
	*ledger
	inquiries *inquiries
}

// asking makes plans for somebody.
func (i inquirer) asking(of asker) planning {
	w := i.planning()
	w.make = i.inquire(of)
	return w
}

// inquire is a planner that answers what it was asked before, and is asked otherwise.
func (i inquirer) inquire(of asker) func(question) (*plan.Plan, error) {
	return func(q question) (*plan.Plan, error) {
		for _, one := range i.inquiries.all {
			if one.of == of && reflect.DeepEqual(one.question, q.ask) {
				if !one.answered {
					return nil, errPlanning
				}
				return one.plan, one.err
			}
		}
		i.inquiries.ever++
		one := inquiry{number: i.inquiries.ever, of: of, question: q.ask, scope: q.scope}
		i.inquiries.all = append(slices.Clone(i.inquiries.all), one)
		i.out.questions = append(i.out.questions, one)
		return nil, errPlanning
	}
}

// forget lets go of the questions of an asker. What the planner still works on is
// stopped.
func (i inquirer) forget(of asker) {
	i.inquiries.all = slices.DeleteFunc(slices.Clone(i.inquiries.all), func(one inquiry) bool {
		if one.of == of && !one.answered {
			i.out.stops = append(i.out.stops, one.number)
		}
		return one.of == of
	})
}

// planned is the fact that the planner answered.
type planned struct {
	number int
	plan   *plan.Plan
	err    error
}

func (f planned) happened(k *machine) {
	i := slices.IndexFunc(k.inquiries.all, func(one inquiry) bool { return one.number == f.number })
	if i < 0 {
		return // nobody needs it any more
	}
	k.inquiries.all = slices.Clone(k.inquiries.all)
	one := &k.inquiries.all[i]
	one.answered, one.plan, one.err = true, f.plan, f.err
}

// turns is how many plans are made at a time, of parts of the studio and of all of it:
// as many as leave a processor to the loop. A plan of all of it may take long, and
// keeps none of a part from being made.
type turns struct{ part, whole chan struct{} }

func newTurns() turns {
	return turns{make(chan struct{}, max(1, runtime.GOMAXPROCS(0)-1)), make(chan struct{}, 1)}
}

func (t turns) of(q inquiry) chan struct{} {
	if q.scope == nil {
		return t.whole
	}
	return t.part
}

// put has the planner answer a question.
func (k *Keeper) put(ctx context.Context, q inquiry) {
	ctx, stop := context.WithCancel(ctx)
	turn := k.turns.of(q)
	k.planners[q.number] = stop
	k.running.Go(func() {
		select {
		case turn <- struct{}{}:
		case <-ctx.Done():
			return
		}
		made, err := k.config.Plan(ctx, q.question)
		<-turn
		select {
		case k.facts <- planned{q.number, made, err}:
		case <-ctx.Done():
		}
	})
}

// stop ends the work on a question.
func (k *Keeper) stop(number int) {
	if stop := k.planners[number]; stop != nil {
		stop()
		delete(k.planners, number)
	}
}
