package keep

import (
	"context"
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// A recall of which the plan is being made has changed nothing yet. It is given up
// where another takes its place, by an undo, and where who asked for it has gone.

// common says whether two lists of rooms have one in common; none are all of them.
func common(a, b []string) bool { return len(a) == 0 || len(b) == 0 || len(overlap(a, b)) > 0 }

// takesPlace notes what an ask plans, and gives up what is being planned in the same
// rooms.
func (k *machine) takesPlace(a *ask, in Intent) {
	if a.tries > 0 {
		return
	}
	a.begun, a.title, a.rooms = k.at, in.title(), k.planning(a.asker()).main(in).rooms
	a.sessions = []string{main}
	for _, b := range k.asks.planning {
		if !b.look() && common(a.rooms, b.rooms) {
			k.giveUp(b, phrase.Put("{session} was recalled meanwhile", "session", in.title()))
		}
	}
}

// giveUpNewest gives up the recall that was asked for last among those that are being
// planned, in a room where one is named, for an undo; false where there is none.
func (k *machine) giveUpNewest(room string) bool {
	for _, b := range slices.Backward(k.asks.planning) {
		if !b.look() && (room == "" || common(b.rooms, []string{room})) {
			k.giveUp(b, "it was undone")
			return true
		}
	}
	return false
}

func (k *machine) giveUp(b ask, why string) {
	k.asks.drop(b.number)
	k.forget(b.asker())
	k.out.answers = append(k.out.answers, answered{ask: b.number,
		err: tell(ErrConflict, "nothing was changed: %s was given up while it was being planned, since %s", b.title, why)})
}

// left is the fact that who waits for an answer has gone.
type left struct{ ask int }

func (f left) happened(k *machine) {
	if a := k.asks.numbered(f.ask); a != nil {
		k.asks.drop(f.ask)
		k.forget(asker{ask: f.ask})
		k.out.answers = append(k.out.answers, answered{ask: f.ask, err: context.Canceled})
	}
}

// goOn goes on with an ask whose plan is made, while no device is being switched.
func goOn(k *machine) bool {
	a := k.ripe()
	if a == nil || k.devices.between() {
		return false
	}
	k.do(*a)
	return true
}

// ripe is an ask whose plan is made; nil for none.
func (k *machine) ripe() *ask {
	for _, a := range k.asks.planning {
		if !k.inquiries.open(a.asker()) {
			return &a
		}
	}
	return nil
}

// holdFirst has the oldest ask that waits wait for what is planned in its rooms, where
// that was changed too often while it was planned.
func (k *machine) holdFirst() bool {
	a := k.asks.waiting[0]
	if !k.heldUp(a) {
		return false
	}
	k.asks.waiting, k.asks.held = slices.Clone(k.asks.waiting[1:]), append(k.asks.held, a)
	return true
}

// release lets those begin that were held and need not be any more.
func release(k *machine) bool {
	if !slices.ContainsFunc(k.asks.held, func(a ask) bool { return !k.heldUp(a) }) {
		return false
	}
	k.asks.waiting, k.asks.held = slices.Concat(k.asks.held, k.asks.waiting), nil
	return true
}

// heldUp says whether an ask would change what was changed too often already while it
// was planned.
func (k *machine) heldUp(a ask) bool {
	kind, _ := ActKindOf(a.act.Do)
	if !kind.ByHand && a.act.Matrix == "" || a.act.Do == StillSo || k.studio == nil {
		return false
	}
	var rooms []string
	for _, p := range k.placesOf(a.act) {
		r := scope.PartOf(k.studio, p.Owner)
		if r == "" {
			rooms = nil
			break
		}
		rooms = append(rooms, r)
	}
	return slices.ContainsFunc(k.asks.planning, func(b ask) bool { return b.tries > mostChanged && common(rooms, b.rooms) })
}

// placesOf are those that an act is about; none where it may be about any.
func (k *machine) placesOf(act Act) []name.Point {
	if act.All {
		return nil
	}
	var all []name.Point
	in := k.memory.Intent
	for _, p := range []name.Point{act.A, act.B} {
		if !p.IsZero() {
			all = append(all, p)
		}
	}
	if h := k.devices.of(act.Matrix); h != nil {
		all = append(all, h.matrix.Out(1))
	}
	note := func(s plan.Step) {
		if slices.Contains(act.IDs, s.ID) {
			all = append(all, stepPoints(s)...)
		}
	}
	for _, s := range in.Left {
		note(s)
	}
	for _, d := range in.Done {
		note(d.Step)
	}
	return all
}

// waitsFor says whether plans are being made anew that an ask has to wait for.
func (k *machine) waitsFor(a ask) bool {
	return k.plansAnew() && len(overlap(a.sessions, k.pending())) > 0
}

// plansAnew says whether plans are being made anew: not while the room is listened to.
func (k *machine) plansAnew() bool { return len(k.pending()) > 0 && k.memory.Listening == nil }

// pending are the sessions whose plans are to be made anew.
func (k *machine) pending() []string { return slices.Concat(k.reread, k.replans) }

// planningProblems say what is being planned.
func (v view) planningProblems() []Problem {
	var all []Problem
	for _, a := range v.k.asks.planning {
		if a.look() {
			continue
		}
		text := "planning {session} since {time}. Recall something else there, or undo, to give it up"
		if a.tries > mostChanged {
			text = "planning {session} since {time}; what is reported there waits until it is planned. Recall something else there, or undo, to give it up"
		}
		undo := Act{Do: ToUndo}
		if len(a.rooms) > 0 {
			undo.Options.Room = a.rooms[0]
		}
		all = append(all, Problem{Code: "planning", Severity: "advice", Since: a.begun, Remedies: []Act{undo},
			Message: phrase.Put(text, "session", titleIn(a.title, a.rooms), "time", a.begun.Format("15:04:05"))})
	}
	return all
}

func titleIn(title string, rooms []string) string {
	if len(rooms) == 0 {
		return title
	}
	return holder(title, rooms)
}
