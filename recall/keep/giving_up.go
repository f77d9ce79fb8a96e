package keep

import (
	"context"
	"slices"

	"bayhand/model/phrase"
)

// A recall of which the plan is being made has changed nothing yet. It is given up
// where another takes its place, by an undo, and where who asked for it has gone.

// common says whether two lists of rooms have one in common; none are all of them.
func common(a, b []string) bool { return len(a) == 0 || len(b) == 0 || len(overlap(a, b)) > 0 }

// takesPlace notes what an ask plans, and gives up what is being planned in the same
// rooms.
func (w queue) takesPlace(a *ask, in Intent) {
	if a.tries > 0 {
		return
	}
	a.begun, a.title, a.rooms = w.at, in.title(), w.planning().main(in).rooms
	a.sessions = []string{main}
	for _, b := range w.asks.planning {
		if !b.look() && common(a.rooms, b.rooms) {
			w.giveUp(b, phrase.Put("{session} was recalled meanwhile", "session", in.title()))
		}
	}
}

// giveUpNewest gives up the recall that was asked for last among those that are being
// planned, in a room where one is named, for an undo; false where there is none.
func (w queue) giveUpNewest(room string) bool {
	for _, b := range slices.Backward(w.asks.planning) {
		if !b.look() && (room == "" || common(b.rooms, []string{room})) {
			w.giveUp(b, "it was undone")
			return true
		}
	}
	return false
}

func (w queue) giveUp(b ask, why string) {
	w.refuse(b.number, tell(ErrConflict, "%s was given up while it was being planned, since %s", b.title, why))
}

// left is the fact that who waits for an answer has gone.
type left struct{ ask int }

func (f left) happened(k *machine) {
	if k.asks.numbered(f.ask) != nil {
		k.queue().refuse(f.ask, context.Canceled)
	}
}

// goOn goes on with an ask whose plan is made, while no device is being switched.
func goOn(k *machine) bool {
	a := k.queue().ripe()
	if a == nil || k.devices.between() {
		return false
	}
	k.do(*a)
	return true
}

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
