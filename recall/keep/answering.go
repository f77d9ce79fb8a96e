package keep

import (
	"reflect"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// basis is all that a plan for a session of an intent is worked out from. Nobody changes
// any of it.
type basis struct {
	planning planning
	intent   Intent
	session  string
}

// same says whether a question that was worked out from a basis is asked by another one
// too. It is cheap, and false where it is not sure.
func (b basis) same(now basis, q question) bool {
	was, is := b.planning.memory, now.planning.memory
	return b.planning.studio == now.planning.studio && b.session == now.session &&
		samePlace(b.intent, now.intent) && samePlace(was.Intent, is.Intent) &&
		reflect.DeepEqual(b.intent.Back, now.intent.Back) &&
		reflect.DeepEqual(b.intent.PreviousInside, now.intent.PreviousInside) &&
		sameTarget(was.Intent, is.Intent) &&
		reflect.DeepEqual([]any{was.Shut, was.Tags, was.Guests}, []any{is.Shut, is.Tags, is.Guests}) &&
		reflect.DeepEqual(q.silenced(was), q.silenced(is)) && q.untouched(was.Known.Patch(), is.Known.Patch())
}

// samePlace says whether two intents want the same in the same rooms.
func samePlace(a, b Intent) bool {
	return a.Session == b.Session && a.Options == b.Options &&
		reflect.DeepEqual(a.Wanted, b.Wanted) && reflect.DeepEqual(a.Others, b.Others)
}

func sameTarget(a, b Intent) bool {
	return a.Plan == b.Plan || a.Plan != nil && b.Plan != nil && reflect.DeepEqual(a.Plan.Target, b.Plan.Target)
}

// untouched says whether a question is the same with another patch in.
func (q question) untouched(was, is patch.Patch) bool {
	if q.scope == nil {
		return reflect.DeepEqual(was, is)
	}
	return q.scope.Untouched(was, is)
}

// mayTouch says whether a plan may touch a place, whatever its scope turns out to be.
func (b basis) mayTouch(p name.Point) bool {
	w := b.planning
	rooms := w.part(b.intent, b.session).rooms
	room := w.site().building.PartOf(p.Owner)
	if len(rooms) == 0 || room == "" {
		return true
	}
	for _, h := range w.holders(b.intent, rooms) {
		if slices.Contains(h.Rooms, room) {
			return false
		}
	}
	return true
}

// way is a plan with the question that it answers.
type way struct {
	// session is the one that the plan is for; main for the one that was recalled last.
	session  string
	plan     *plan.Plan
	question question
	// crossing is why the plan may not be gone by who recalls a session; nil where it may.
	crossing error
	// off is what stays silenced with it.
	off []Silenced
	// ends are the sessions in other rooms that end with it.
	ends []string
}

// staysOff says whether nobody is asked to bring something back with the plan.
func (w way) staysOff(h Silenced) bool {
	return slices.ContainsFunc(w.off, func(o Silenced) bool { return o.Port == h.Port && o.Do == h.Do })
}

// numbered is the way with its steps numbered after those that go on beside it.
func (w way) numbered(in, goesOn Intent) way {
	first := max(in.NextID, 1)
	if s := w.question.scope; s != nil {
		first = max(first, nextID(goesOn, s))
	}
	w.question.first, w.plan = first, numbered(w.plan, first)
	return w
}

// outcome is the answer to an inquiry: a way, or why there is none.
type outcome struct {
	way
	err error
	// solved is what the planner was asked, with its answers.
	solved []solved
}

// solved is a question with the planner's answer.
type solved struct {
	ask  plan.Request
	plan *plan.Plan
	err  error
}

// answering works out ways. It cuts the studio to the rooms of a session and asks the
// planner, which both take longer than the loop may: so there is one beside it alone.
type answering struct {
	planning
	// make asks the planner.
	make func(question) (*plan.Plan, error)
	// inTurn does what takes the processor, as soon as there is a turn for it.
	inTurn func(func()) error
}

// workOut answers an inquiry, with a planner that is asked where it was not asked the
// same before.
func (one inquiry) workOut(ask func(question) (*plan.Plan, error), inTurn func(func()) error) outcome {
	var o outcome
	again := func(q question) (*plan.Plan, error) {
		i := slices.IndexFunc(one.before, func(s solved) bool { return reflect.DeepEqual(s.ask, q.ask) })
		if i >= 0 {
			o.solved = append(o.solved, one.before[i])
			return one.before[i].plan, one.before[i].err
		}
		made, err := ask(q)
		o.solved = append(o.solved, solved{q.ask, made, err})
		return made, err
	}
	b := one.basis
	w := answering{b.planning, again, inTurn}
	o.way, o.err = w.way(b.intent, b.session, one.of.ask != 0)
	return o
}

// way is the one to a session of an intent. Where somebody asked for it, it may not cross
// a room that holds another, but end a session there where it is to come instead.
func (w answering) way(in Intent, session string, asked bool) (way, error) {
	p, q, err := w.planFor(in, session)
	if err != nil {
		return way{}, err
	}
	got := way{session: session, plan: p, question: q}
	if asked && in.Options.Instead && (!p.Given || len(overdrawn(p, q)) > 0) {
		if got, err = w.instead(in, got); err != nil {
			return way{}, err
		}
		in = in.without(got.ends)
	}
	if got.question.goneBy(got.plan) {
		if err := refuseOverdrawn(in, session, overdrawn(got.plan, got.question)); err != nil {
			return way{}, err
		}
	}
	if asked {
		got.crossing = w.refuseCrossing(in, got.plan, got.question)
	}
	got.off, err = w.off(got.plan, got.question)
	return got, err
}
