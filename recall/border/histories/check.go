package histories

import (
	"errors"
	"math"
	"slices"
	"time"

	"github.com/anishathalye/porcupine"

	"bayhand/recall/border"
)

// asked is what one call means at one place.
type asked struct {
	place  border.Place
	do     border.Do // empty for a look
	room   string
	number uint64
}

// told is what the answer says of the place.
type told struct {
	answer answer
	holder string
}

// Check says whether the history can have happened at a table, place by place; an
// answer that takes longer than the patience is not known.
func (r *Recorder) Check(patience time.Duration) porcupine.CheckResult {
	r.mu.Lock()
	defer r.mu.Unlock()
	var all []porcupine.Operation
	for _, e := range r.events {
		for _, p := range r.places {
			all = append(all, e.at(p)...)
		}
	}
	rooms := r.rooms()
	if len(rooms) > mostRooms {
		return porcupine.Unknown
	}
	return porcupine.CheckOperationsTimeout(model(rooms), all, patience)
}

// rooms are those of the history, each once.
func (r *Recorder) rooms() []string {
	var all []string
	for _, e := range r.events {
		if e.act != nil && !slices.Contains(all, e.act.Room) {
			all = append(all, e.act.Room)
		}
	}
	return all
}

// at is what an event tells of a place: nothing, one operation, or two.
func (e event) at(p border.Place) []porcupine.Operation {
	if e.act == nil {
		return []porcupine.Operation{e.told(asked{place: p}, told{holder: e.view.Table.Holds[p].Room})}
	}
	in, answer := asked{p, e.act.Do, e.act.Room, e.act.Number}, answerOf(e.err)
	if !slices.Contains(e.act.Places, p) || answer == isNothing {
		return nil
	}
	switch answer {
	case isHeld:
		var held *border.HeldError
		if !errors.As(e.err, &held) || !slices.Contains(held.Places, p) {
			return nil // another of its places is
		}
		return []porcupine.Operation{e.told(in, told{isHeld, held.Holds[slices.Index(held.Places, p)].Room})}
	case isLost:
		return e.lost(in)
	}
	return []porcupine.Operation{e.told(in, told{answer: answer})}
}

// lost are the two things that a lost claim tells: it may have been carried out during
// this very call, which was then asked again since no answer came; and later the room
// did not hold the place. Of several places it is not known which one was lost.
func (e event) lost(in asked) []porcupine.Operation {
	all := []porcupine.Operation{e.told(in, told{answer: isUnknown})}
	all[0].Return = int64(e.gotten) // not later
	if len(e.act.Places) == 1 {
		all = append(all, e.told(in, told{answer: isLost}))
	}
	return all
}

// told is one operation. What is not known may be carried out at any time.
func (e event) told(in asked, out told) porcupine.Operation {
	op := porcupine.Operation{ClientId: e.client, Call: int64(e.called), Return: int64(e.gotten), Input: in, Output: out}
	if out.answer == isUnknown {
		op.Return = math.MaxInt64
	}
	return op
}

// mostRooms bounds the rooms of a history.
const mostRooms = 16

// place is the state of one place: who holds it, and the newest act there of each room.
type place struct {
	holder string
	newest [mostRooms]uint64
}

// model is one place, of which an act whose answer is not known may have been carried
// out or not.
func model(rooms []string) porcupine.Model {
	one := porcupine.NondeterministicModel{
		Partition: byPlace,
		Init:      func() []any { return []any{place{}} },
		Step: func(state, input, output any) []any {
			s, in, out := state.(place), input.(asked), output.(told)
			return step(s, in, out, slices.Index(rooms, in.room))
		},
		Equal: func(a, b any) bool { return a.(place) == b.(place) },
	}
	return one.ToModel()
}

// byPlace parts a history, whose operations each have one place.
func byPlace(all []porcupine.Operation) [][]porcupine.Operation {
	parts := map[border.Place][]porcupine.Operation{}
	for _, op := range all {
		p := op.Input.(asked).place
		parts[p] = append(parts[p], op)
	}
	var list [][]porcupine.Operation
	for _, ops := range parts {
		list = append(list, ops)
	}
	return list
}

// step are the states that a place can be in after a call with this answer; none where
// it cannot have been answered so.
func step(s place, in asked, out told, room int) []any {
	switch {
	case in.do == "" || out.answer == isHeld:
		return only(s, s.holder == out.holder && (in.do == "" || s.holder != in.room))
	case out.answer == isLost:
		return only(s, s.holder != in.room)
	}
	after, can := s.then(in, room)
	if out.answer == isUnknown {
		return append(only(s, true), only(after, can && after != s)...)
	}
	return only(after, can)
}

func only(s place, can bool) []any {
	if !can {
		return nil
	}
	return []any{s}
}

// then is a place after an act was carried out, and whether it can be.
func (s place) then(in asked, room int) (place, bool) {
	if in.do == border.ToTakeAway {
		if s.holder == in.room {
			s.holder = ""
		}
		return s, true
	}
	if in.number < s.newest[room] {
		return s, false
	}
	again := in.number == s.newest[room]
	s.newest[room] = in.number
	if in.do == border.ToRelease {
		if s.holder == in.room && !again {
			s.holder = ""
		}
		return s, true
	}
	if again {
		return s, s.holder == in.room
	}
	can := s.holder == "" || s.holder == in.room
	s.holder = in.room
	return s, can
}
