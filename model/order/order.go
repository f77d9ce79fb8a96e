// Package order puts the moves and changes of a plan in an order of time.
//
// Vocabulary: an action is what becomes one step: a move of a hand, or what a
// matrix switches together. A plug enters or leaves one end at a time, and a cord
// with one end in breaks normals and taps like any other plug: each plug in or out,
// and each crosspoint, is an event. Between two events the room is in a state. A
// hazard is what a state should not have; the effect of an action is the hazards
// that it brings in one state, and what must be muted for it. Zones are the parts of
// the room that no state on the way can join: two actions in zones that no signal
// path joins are independent, so they may be done in any order, and at once. A
// cluster is a set of actions that depend on each other.
//
// No state on the way may have two outputs joined, a loop, a source at a
// loudspeaker that neither the old nor the new patch puts there, or a plug moved on
// the path of what is kept. Where a loudspeaker would sound or click, it is muted:
// the fewest, each as late as can be without tearing chains apart. Where what is kept
// cannot be left alone, a spare path is made before the old is broken. Where no order
// does all that, constraints are relaxed one after the other (relax.go), and the step
// says what happens.
// Phantom power goes off once loudspeakers are down, and on again before they are up,
// where a plug would short it or relays would hand it on.
//
// Otherwise the order is that of a good assistant: what is heard before and after
// is interrupted as seldom as can be, what joins outputs or closes a loop now goes first,
// then what is pulled, from its destination end; a matrix switches all it can at once; then one chain after the
// other, upstream to downstream, from the source end; loudspeakers up last. The
// package changes nothing of what a plan does.
//
// How an order is found: actions are read from the plan and ranked (action.go,
// rank.go, urgent.go), zones say which depend on which (zones.go), rules say what an event does
// (rules.go), a depth-first search with recorded dead ends goes through the actions
// by rank (search.go, explore.go), waits that nothing needs are taken away (waits.go,
// deorder.go), what a matrix does is joined into few steps (batch.go), and steps are
// written with what they wait for (write.go).
package order

import (
	"bayhand/model/heard"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// Task is a plan to be put in order. Nothing in it is changed.
type Task struct {
	Room *heard.Room
	From patch.Patch
	// Session is nil for a plan back to rest.
	Session *session.Session
	// PreviousInside is what the software may still carry: until a person says that
	// it has been changed over, loops are judged under that as well.
	PreviousInside []studio.Pass
	// Moves and Crosspoints lead from one patch to the other, in no order of time.
	Moves       []plan.Move
	Cords       Cords
	Crosspoints []plan.Change
	Target      patch.Patch
	// FirstID is the number of the first step; 0 is 1.
	FirstID int
	// Earlier is true where the rest patch of the room is an earlier one that is gone back
	// to: the reasons of steps say so.
	Earlier bool
}

// Steps are the steps of a plan in order, and its moves in the order of their steps,
// with their IDs. It hears the room three times, once more where lines of the session
// have names, and once for each loudspeaker that a matrix mutes, which is linear in its size; then it
// looks at the surroundings of plugs alone, a few times for each step, at most as
// often as there are steps. Where it has to go back, it looks at no more than 2000
// steps and half the square of their number, for each relaxation. A plan with a move
// that is none is an error.
func Steps(t Task) ([]plan.Step, []plan.Move, error) {
	f := newFacts(t)
	r := newRules(f)
	actions, err := readActions(f, r)
	if err != nil {
		return nil, nil, err
	}
	q := newSequencer(f, r, actions)
	waits := newWaits(q, q.sequence())
	deorder(q, waits)
	w := newWriter(q, batch(f, waits))
	steps := w.write()
	nameLines(f, steps)
	return steps, w.moves(), nil
}
