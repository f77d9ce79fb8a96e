// Package order puts the moves and changes of a plan in an order of time.
//
// A plug enters or leaves one end at a time, and a cord with one end in breaks
// normals and taps like any other plug: each plug in or out is an event, and
// between two events the room is in a state. No state on the way may have two
// outputs joined, a loop, a source at a loudspeaker that neither the old nor the
// new patch puts there, or a plug moved on the way of what is kept. Where a
// loudspeaker would sound or click, it is muted: the fewest, each as late as can be
// without tearing chains apart. Where what is kept cannot be left alone, a spare way
// is made before the old is broken.
//
// Otherwise the order is that of a good assistant: what is heard before and after
// is interrupted as seldom as can be, what is pulled comes first, from its
// destination end; a matrix switches all it can at once; then one chain after the
// other, upstream to downstream, from the source end; loudspeakers up last. The
// package changes nothing of what a plan does.
//
// A unit is what becomes one step; its effect is what it does in one state that
// should not be. Zones are the parts of the room that no order can join: units of
// zones that no way joins never meet, so they may be done in any order, and at once.
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
// loops are judged under what it carried before as well. It hears the room three
// times, which is linear in its size; then it looks at the surroundings of plugs
// alone, a few times for each step, at most as often as there are steps. Where it
// has to go back, it looks at no more than 2000 steps and half the square of their
// number, for each thing that it gives up of what an order should be. A plan with a
// move that is none is an error.
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
