package keep

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/scope"
	"bayhand/model/session"
)

// A plan is made for one session, with its rooms and what is in no room. What is on
// its way in other rooms goes on beside it, by the plans that were made for these.

// question is what the planner is asked, and of which part of the studio.
type question struct {
	ask plan.Request
	// scope is nil where it is about all of the studio.
	scope *scope.Scope
	// first is the number of the first step. It is no part of what the planner is asked:
	// steps that are done meanwhile in other rooms make no other plan.
	first int
}

// goneBy says whether a plan that answers the question is carried out: one that gives
// what is asked, or as much of it as can be where that was asked for.
func (q question) goneBy(p *plan.Plan) bool { return p.Given || q.ask.Partly }

// has says whether a plan that answers the question may touch a place.
func (q question) has(p name.Point) bool { return q.scope == nil || q.scope.Has(p) }

// part is what one plan is made for: a session, or rest, in some rooms.
type part struct {
	wanted  *session.Session
	options RecallOptions
	// rooms are none where it is about all of the studio.
	rooms []string
	back  *patch.Patch
}

// main is the part of an intent that was recalled last.
func (w planning) main(in Intent) part {
	one := part{wanted: in.Wanted, options: in.Options, back: in.Back}
	switch {
	case len(w.studio.Rooms) == 0:
	case in.Wanted != nil:
		one.rooms = scope.RoomsOf(w.studio, in.Wanted)
	case in.Options.Room != "":
		one.rooms = []string{in.Options.Room}
	}
	if len(one.rooms) > 0 {
		one.rooms = w.freed(in, one.rooms)
		one = w.withReturning(in, one)
	}
	if len(one.rooms) >= len(w.studio.Rooms) {
		one.rooms = nil
	}
	return one
}

// freed are rooms with those of the sessions that an intent does not hold any more:
// what these had in goes out.
func (w planning) freed(in Intent, rooms []string) []string {
	rooms = slices.Clone(rooms)
	stay := in.held(w.studio)
	for _, h := range w.memory.Intent.held(w.studio) {
		stays := slices.ContainsFunc(stay, func(o Held) bool { return o.Session == h.Session })
		if stays {
			continue
		}
		for _, r := range h.Rooms {
			if !slices.Contains(rooms, r) {
				rooms = append(rooms, r)
			}
		}
	}
	return rooms
}

// withReturning has the sessions in it that come back in rooms which are freed, as when an
// undo ends one over several rooms in each of which there was another: they are planned with it.
func (w planning) withReturning(in Intent, of part) part {
	if of.wanted == nil {
		return of
	}
	for _, h := range in.Others {
		if len(overlap(h.Rooms, of.rooms)) == 0 {
			continue
		}
		if of.wanted == in.Wanted {
			of.wanted = &session.Session{Name: in.Session, Program: -1}
			join(of.wanted, *in.Wanted, partsOutside(w.studio, scope.RoomsOf(w.studio, in.Wanted)))
		}
		join(of.wanted, *h.Wanted, partsOutside(w.studio, h.Rooms))
		for _, r := range h.Rooms {
			if !slices.Contains(of.rooms, r) {
				of.rooms = append(of.rooms, r)
			}
		}
	}
	return of
}

// holders are the sessions beside a part of an intent.
func (w planning) holders(in Intent, rooms []string) []scope.Holder {
	var all []scope.Holder
	for _, h := range in.held(w.studio) {
		if len(overlap(h.Rooms, rooms)) == 0 {
			all = append(all, scope.Holder{Session: h.Session, Rooms: h.Rooms, Wanted: h.Wanted})
		}
	}
	return all
}

// request is what the planner is asked for a part of an intent, but for the session.
func (w planning) request(in Intent, of part) (plan.Request, error) {
	prefer, err := plan.ParsePrefer(of.options.Prefer)
	here := w.memory.Here(w.studio)
	from := fitting(withGuests(w.studio, here), w.memory.Known.Patch())
	return plan.Request{
		Studio: Present(around(w.studio, w.memory.Shut), w.memory.Tags, here, from), From: from, Held: w.memory.Shut,
		PreviousInside: in.PreviousInside,
		Prefer:         prefer, Partly: of.options.Partly, LeaveCords: in.leavesCords(), Effort: in.effort(),
	}, err
}

// question is what the planner is asked for a part of an intent.
func (w answering) question(in Intent, of part) (question, error) {
	var q question
	var err error
	if ended := w.inTurn(func() { q, err = w.cutTo(in, of) }); ended != nil {
		return question{}, ended
	}
	return q, err
}

// cutTo is a question for the rooms of a part and what is in no room, or for all of the
// studio where it has no rooms.
func (w answering) cutTo(in Intent, of part) (question, error) {
	ask, err := w.request(in, of)
	if err != nil {
		return question{}, err
	}
	if len(of.rooms) == 0 {
		return w.whole(in, ask), nil
	}
	holders := w.holders(in, of.rooms)
	b := w.site().building
	rooms := b.Widened(ask.Studio, of.rooms, holders, ask.From)
	if len(rooms) == len(w.studio.Rooms) {
		return w.whole(in, ask), nil
	}
	target, _ := w.memory.Intent.target()
	s := b.Scope(ask.Studio, rooms, of.wanted, holders, ask.From, target)
	if err := w.inUse(of, s, in); err != nil {
		return question{}, err
	}
	return question{ask: w.cut(in, of, ask, s), scope: s}, nil
}

// whole is a question about all of the studio.
func (w planning) whole(in Intent, ask plan.Request) question {
	ask.Session = in.merged(w.studio)
	return question{ask: goesAnyway(w.asked(in, ask))}
}

// goesAnyway has the way back to a patch gone as far as there is one: a room is put to rest
// also where something of that patch cannot be plugged.
func goesAnyway(ask plan.Request) plan.Request {
	ask.Partly = ask.Partly || ask.Session == nil
	return ask
}

// inUse refuses a session that names what is in no room and others use.
func (w planning) inUse(of part, s *scope.Scope, in Intent) error {
	if of.wanted == nil {
		return nil
	}
	var met []string
	for _, p := range scope.Places(w.studio, of.wanted) {
		if h, held := s.HolderOf(p); held {
			text := fmt.Sprintf("%s needs %s, in use by %s", in.title(), p, holder(h.Session, h.Rooms))
			if !slices.Contains(met, text) {
				met = append(met, text)
			}
		}
	}
	if len(met) == 0 {
		return nil
	}
	return tell(ErrConflict, "%s. Strip that room first, or recall there what does without it", strings.Join(met, "; "))
}

// holder is a session with its rooms, in words.
func holder(session string, rooms []string) string {
	return fmt.Sprintf("%s (room %s)", session, strings.Join(rooms, " and "))
}

// cut is a question for a scope.
func (w planning) cut(in Intent, of part, ask plan.Request, s *scope.Scope) plan.Request {
	ask.Studio, ask.LeaveCords, ask.Effort = s.Studio, of.options.LeaveCords, of.options.Effort
	ask.From, _ = s.Split(ask.From)
	ask.Held = slices.Concat(slices.DeleteFunc(slices.Clone(ask.Held), func(p name.Point) bool { return !s.Has(p) }), s.Held)
	ask.Session = of.wanted
	ask.Elsewhere = s.Elsewhere
	in.Back = nil
	if of.back != nil {
		inside, _ := s.Split(*of.back)
		in.Back = &inside
	}
	ask = goesAnyway(w.asked(in, ask))
	ask.Session = s.Session(ask.Session)
	before := slices.ContainsFunc(w.memory.Intent.held(w.studio), func(h Held) bool { return len(overlap(h.Rooms, s.Rooms)) > 0 })
	if passes := s.Passes(ask.PreviousInside); before || len(passes) > 0 {
		ask.PreviousInside = orEmpty(passes)
	} else {
		ask.PreviousInside = nil // no session is known to have been in these rooms
	}
	return ask
}

// target is the patch that is to be in once nothing is left to do in any room: a plan
// that cannot be gone leads to what it began at. It is nothing where there is no plan.
func (in Intent) target() (patch.Patch, bool) {
	if in.Plan == nil {
		return patch.Patch{}, false
	}
	return patch.Patch(in.Plan.Target), true
}

// plan asks the planner for the way from what is known to what was recalled last. A
// session over several rooms for which there is no way in these is looked for in all
// of the studio. Where there is none, the plan says what others use of what it lacks.
func (w answering) plan(in Intent) (*plan.Plan, question, error) {
	of := w.main(in)
	p, q, err := w.planOf(in, of)
	if err == nil && q.scope != nil && len(q.scope.Rooms) > 1 && !p.Given {
		of.rooms = nil
		p, q, err = w.planOf(in, of)
	}
	if errors.Is(err, plan.ErrTooFewCords) {
		return p, q, w.tooFew(in, err)
	}
	if err != nil {
		return p, q, err
	}
	p, err = w.lacking(in, w.main(in), p)
	return p, q, err
}

// planOf asks the planner for the way to a part of an intent.
func (w answering) planOf(in Intent, of part) (*plan.Plan, question, error) {
	q, err := w.question(in, of)
	if err != nil {
		return nil, q, err
	}
	p, err := w.make(q)
	if err == nil && p == nil {
		err = fmt.Errorf("the planner gave no plan")
	}
	if err != nil {
		return nil, q, err
	}
	return p, q, nil
}

// numbered is a plan whose steps are numbered from a number on.
func numbered(p *plan.Plan, first int) *plan.Plan {
	if first == 1 {
		return p
	}
	id := func(had string) string {
		n, err := strconv.Atoi(had)
		if err != nil {
			return had
		}
		return strconv.Itoa(n + first - 1)
	}
	own := *p
	own.FirstID = first
	own.Steps, own.Moves = slices.Clone(p.Steps), slices.Clone(p.Moves)
	for i, s := range own.Steps {
		own.Steps[i].ID, own.Steps[i].After = id(s.ID), slices.Clone(s.After)
		for j, before := range s.After {
			own.Steps[i].After[j] = id(before)
		}
	}
	for i, m := range own.Moves {
		own.Moves[i].ID = id(m.ID)
	}
	return &own
}

// nextID is a number that no step has which goes on beside a scope.
func nextID(was Intent, s *scope.Scope) int {
	next := 1
	note := func(one plan.Step) {
		if n, err := strconv.Atoi(one.ID); err == nil && n >= next && leavesOut(s, one) {
			next = n + 1
		}
	}
	for _, one := range was.Left {
		note(one)
	}
	for _, d := range was.Done {
		note(d.Step)
	}
	return next
}
