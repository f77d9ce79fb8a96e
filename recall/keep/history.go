package keep

import (
	"slices"
	"time"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/scope"
)

// Query chooses events of the history; the zero Query chooses all.
type Query struct {
	// After is the number of an event; only later ones are chosen.
	After uint64
	// Before is the number of an event; only earlier ones are chosen. 0 is no bound.
	Before uint64
	// From is included, Until is not; the zero time is no bound.
	From, Until time.Time
	// Session chooses what happened while it was intended.
	Session string
	// Room chooses what happened in one room, or in all of the studio.
	Room string
	// Point chooses what a person or a device did there.
	Point name.Point
	Kinds []Kind
	// Last bounds the number to the newest; 0 is all.
	Last int
	// First bounds the number to the oldest, where Last does not; 0 is all. With the
	// number of the last one as After the next are chosen.
	First int
}

// Takes says whether the event is one of those chosen; Last and First are not looked at.
func (q Query) Takes(e Event) bool {
	return e.Seq > q.After && (q.Before == 0 || e.Seq < q.Before) &&
		(q.From.IsZero() || !e.At.Before(q.From)) &&
		(q.Until.IsZero() || e.At.Before(q.Until)) &&
		(q.Session == "" || e.Session == q.Session) &&
		(q.Room == "" || len(e.Rooms) == 0 || slices.Contains(e.Rooms, q.Room)) &&
		(len(q.Kinds) == 0 || slices.Contains(q.Kinds, e.Kind)) &&
		(q.Point.IsZero() || e.at(q.Point))
}

// at says whether the event is about what is in the jack or the port.
func (e Event) at(p name.Point) bool {
	is := func(c plan.Change) bool { return c.Output == p || c.Input == p }
	if slices.ContainsFunc(e.Changes, is) || slices.Contains(e.Unclear, p) {
		return true
	}
	s := e.Step
	return s != nil && (slices.Contains(s.Ends, p) || slices.Contains(s.To, p) || slices.ContainsFunc(s.Crosspoints, is))
}

// roomsOf are the rooms that an event is about, with the intent after it; none where it is
// about all of the studio, or about what is in no room.
func (l *ledger) roomsOf(e Event, in Intent) []string {
	if l.studio == nil || len(l.studio.Rooms) == 0 {
		return nil
	}
	if e.Kind == Recalled {
		return l.planning().main(in).rooms
	}
	var points []name.Point
	if e.Step != nil {
		points = stepPoints(*e.Step)
	}
	for _, c := range e.Changes {
		points = append(points, c.Output)
	}
	points = append(points, e.Unclear...)
	if e.Matrix != "" {
		points = append(points, name.At(e.Matrix, "out", 1))
	}
	var rooms []string
	for _, p := range points {
		room := scope.RoomOf(l.studio, p)
		if room == "" {
			return nil
		}
		if !slices.Contains(rooms, room) {
			rooms = append(rooms, room)
		}
	}
	return rooms
}

// sessionIn is the session that some rooms are in: the one that was recalled last where
// another is in none of them.
func (in Intent) sessionIn(rooms []string) string {
	for _, h := range in.Others {
		if len(overlap(rooms, h.Rooms)) > 0 {
			return h.Session
		}
	}
	return in.Session
}

// In is the patch that the room was in at a time, as far as it was known then,
// by events in their order. It is not known before the first recall.
//
// The clock may have been set back meanwhile: the last event of that time or
// earlier counts, with all before it. It takes time linear in the events.
func In(events []Event, when time.Time) (Known, bool) {
	last := -1
	for i, e := range events {
		if !e.At.After(when) {
			last = i
		}
	}
	var known Known
	found := false
	for _, e := range events[:last+1] {
		if e.Known != nil {
			known, found = e.Known.clone(), true
			continue
		}
		known.follow(e)
	}
	return known, found
}

// follow makes k what was known after the event. Whatever does not fit is left
// out: the next recall has the whole patch again.
func (k *Known) follow(e Event) {
	fact := Fact{How: Told, Since: e.At}
	switch e.Kind {
	case StepDone, PersonDid, StepNot:
		k.followStep(e, fact)
	case WasSent:
		fact.How = Sent
		if e.Step != nil {
			_ = k.put(*e.Step, fact)
		}
	case WasRead:
		fact.How = Read
		for output, inputs := range outputsOf(plan.Step{Crosspoints: e.Changes}) {
			k.set(output, inputs, fact)
		}
		for _, output := range e.Unclear {
			k.set(output, nil, Fact{How: NotKnown, Since: e.At})
		}
	case Sending:
		k.between(e)
	case Trouble:
		if e.Gone {
			k.doubt(e.Matrix, Fact{How: Assumed, Since: e.At}, Read)
		}
	case Recalled, Replanned, Drifted, WasGiven:
	}
}

// between takes in that a device is about to be told something: until it has answered
// nobody knows what its outputs listen to.
func (k *Known) between(e Event) {
	if e.Step == nil {
		return
	}
	for output := range outputsOf(*e.Step) {
		inputs, _ := k.inputs(output)
		k.set(output, inputs, Fact{How: NotKnown, Since: e.At})
	}
}

func (k *Known) followStep(e Event, fact Fact) {
	if e.Step == nil || e.Matrix != "" {
		return
	}
	step := *e.Step
	if e.Kind == StepNot {
		back, ok := inverse(step)
		if !ok {
			return
		}
		step = back
	}
	_ = k.put(step, fact)
}

// changes are what the outputs of a read listen to, one for each input.
func (k Known) changes(outputs []name.Point) []plan.Change {
	var all []plan.Change
	for _, o := range outputs {
		inputs, _ := k.inputs(o)
		if len(inputs) == 0 {
			all = append(all, plan.Change{Output: o})
		}
		for _, i := range inputs {
			all = append(all, plan.Change{Output: o, Input: i})
		}
	}
	return all
}
