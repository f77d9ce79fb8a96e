// Package order puts the moves and changes of a plan in an order of time.
//
// A plug enters or leaves one end at a time, and a cord with one end in breaks
// normals and taps like any other plug: each plug in or out is an event, and
// between two events the room is in a state. No state on the way may have two
// outputs joined, a loop, a source at a loudspeaker that neither the old nor the
// new patch puts there, or a plug moved on the way of what is kept. Where that
// cannot be had, what is at risk is muted first.
//
// Otherwise the order is that of a good assistant: loudspeakers down, phantom
// power off, what is pulled first, from its destination end; then one chain
// after the other, upstream to downstream, from the source end; loudspeakers up
// last. The package changes nothing of what a plan does.
package order

import (
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Arrange fills the steps of a plan that was made from a patch, and puts its
// moves in the order of the steps, with their IDs. The session is nil for a
// plan back to rest. Until a person says that the software has been changed over
// loops are judged under what it carried before as well. Mostly it takes time
// linear in the number of moves, times that of hearing the room; where it has to
// go back, it looks at no more than 2000 moves and half the square of their
// number before it gives up some of what an order should be.
func Arrange(room *heard.Room, from patch.Patch, p *plan.Plan, s *session.Session, previousInside []studio.Pass) error {
	a := newArranger(room.For(s, from), from, p, s, previousInside)
	if err := a.read(); err != nil {
		return err
	}
	a.sequence()
	a.write()
	return nil
}

// arranger is one plan being put in order.
type arranger struct {
	room    *heard.Room
	from    patch.Patch
	plan    *plan.Plan
	session *session.Session
	insides [][]studio.Pass
	rules   *rules
	zones   *zones
	units   []*unit
	// sure are the gear that a plug at a jack clicks from in whatever order;
	// mutable those that may be muted.
	sure    map[name.Point][]string
	mutable map[string]bool
	// done are the units in the order found.
	done []*unit
	// amplifiers are the matrices in which crosspoints are no metal.
	amplifiers map[string]bool
}

func newArranger(room *heard.Room, from patch.Patch, p *plan.Plan, s *session.Session, previous []studio.Pass) *arranger {
	if s == nil {
		s = &session.Session{Name: p.Session}
	}
	a := &arranger{room: room, from: from, plan: p, session: s, insides: [][]studio.Pass{s.Inside}, amplifiers: amplifiersOf(room.Studio())}
	if len(previous) > 0 {
		a.insides = append(a.insides, previous)
	}
	a.rules = newRules(a)
	return a
}
