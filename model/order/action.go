package order

import (
	"fmt"
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// action is what becomes one step: a move, or what a matrix switches together.
type action struct {
	move plan.Move // zero for a matrix
	// kind is that of the cord that is plugged or pulled.
	kind   int
	matrix string
	// changes are the outputs that are switched; the order does not matter, as
	// all are opened before any is closed.
	changes []plan.Change
	events  []event
	rank    rank
	// touched are the jacks that a plug goes in or out of; enters and leaves those
	// that hold one after it and not before, and the other way round.
	touched, enters, leaves []name.Point
	// relaxed is what has been given up to find a place for it.
	relaxed relaxation
	// mutesSought is true once a least set of mutes was looked for.
	mutesSought bool
	// upstream are the actions without which nothing comes to it.
	upstream []*action
	// half is nil for what is done at once.
	half *half
	// effect is what it does in its place; needs are the mutes and the phantom power
	// off that it needs in whatever place.
	effect, needs effect
	// wants are those that it carries, in words; removes is what it takes out that
	// nothing asks for, carries what it brings that nothing asks for, as at rest; because says why it is needed.
	wants   []string
	removes []hearer
	carries []hearer
	because string
}

// event is one change of the room.
type event struct {
	out, in patch.Patch
	// jack is where a plug goes in or out; zero for a crosspoint.
	jack name.Point
	// at are the points whose nets it may change.
	at []name.Point
	// joined are those of them at which a net may have grown: none where a plug
	// goes in that no cord leads on from, or a crosspoint opens, which can close no
	// loop.
	joined []name.Point
	// numbers are its own, once they were asked for (state.numbered).
	numbers *numbered
}

// byHand says whether a person does it.
func (a *action) byHand() bool { return a.matrix == "" }

// closes says whether an action closes a crosspoint.
func (a *action) closes() bool { return a.matrix != "" && !a.changes[0].Input.IsZero() }

// readActions makes the actions of a task, ranked.
func readActions(f *facts, r *rules) ([]*action, error) {
	var all []*action
	kinds := f.kinds()
	for i, m := range f.moves {
		a, err := moveAction(f, r, m, kinds[i])
		if err != nil {
			return nil, err
		}
		all = append(all, a)
	}
	all = append(all, matrixActions(f)...)
	newRanker(f, r, all).rank()
	return joinStereo(f, all), nil
}

func moveAction(f *facts, r *rules, m plan.Move, kind int) (*action, error) {
	a := &action{move: m, kind: kind}
	switch m.Do {
	case plan.Pull:
		a.move.Ends = destinationFirst(r.now, m.Ends)
	case plan.Plug:
		a.move.Ends = sourceFirst(r.new, m.Ends)
	case plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
		return nil, fmt.Errorf("a plan has the move %s, which is none", m.Do)
	}
	a.addEvents()
	if m.Do == plan.PlugLead || m.Do == plan.PullLead {
		// A plug in a socket takes over inputs at the rear.
		a.events[0].at = append(a.events[0].at, f.overridden(m.Ends[0])...)
		a.events[0].joined = a.events[0].at
	}
	return a, nil
}

// addEvents finds the events of a move.
func (a *action) addEvents() {
	m := a.move
	switch m.Do {
	case plan.Pull:
		a.pull()
	case plan.Plug:
		a.plug()
	case plan.MoveEnd:
		a.moveEnd()
	case plan.PlugDummy:
		a.event(m.Ends[0], patch.Patch{}, patch.Patch{Dummies: m.Ends})
	case plan.PullDummy:
		a.event(m.Ends[0], patch.Patch{Dummies: m.Ends}, patch.Patch{})
	case plan.PlugLead:
		a.event(m.Ends[1], patch.Patch{}, lead(m))
	case plan.PullLead:
		a.event(m.Ends[1], lead(m), patch.Patch{})
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
	}
}

// event adds one plug that goes in or out of a jack.
func (a *action) event(jack name.Point, out, in patch.Patch) {
	at := append(out.Plugs(), in.Plugs()...)
	for _, l := range append(out.Leads, in.Leads...) {
		at = append(at, l.Port)
	}
	slices.SortFunc(at, name.Point.Compare)
	e := event{out: out, in: in, jack: jack, at: slices.Compact(at), joined: []name.Point{jack}}
	if len(in.Plugs()) > len(out.Plugs()) && len(in.Plugs()) == 1 && len(in.Leads) == 0 {
		e.joined = nil // it only breaks normals
	}
	a.events = append(a.events, e)
	a.touched = append(a.touched, jack)
	if slices.Contains(in.Plugs(), jack) {
		a.enters = append(a.enters, jack)
	} else {
		a.leaves = append(a.leaves, jack)
	}
}

func lead(m plan.Move) patch.Patch {
	return patch.Patch{Leads: []patch.Lead{{Port: m.Ends[0], Jack: m.Ends[1]}}}
}

func cords(ends ...name.Point) patch.Patch {
	c := patch.Cord{A: ends[0]}
	if len(ends) > 1 {
		c.B = ends[1]
	}
	return patch.Patch{Cords: []patch.Cord{c}}
}

// pull takes the first end out, then the second.
func (a *action) pull() {
	e := a.move.Ends
	if len(e) > 1 {
		a.event(e[0], cords(e...), cords(e[1]))
	}
	last := e[len(e)-1]
	a.event(last, cords(last), patch.Patch{})
}

func (a *action) plug() {
	e := a.move.Ends
	a.event(e[0], patch.Patch{}, cords(e[0]))
	if len(e) > 1 {
		a.event(e[1], cords(e[0]), cords(e...))
	}
}

// moveEnd leaves the first end in and takes the second elsewhere; where one of
// both has a single end, it is half of that.
func (a *action) moveEnd() {
	from, to := a.move.Ends, a.move.To
	stay := from[0]
	if len(from) == 2 {
		a.event(from[1], cords(from...), cords(stay))
	}
	if len(to) == 2 {
		a.event(to[1], cords(stay), cords(to...))
	}
}

// surroundings are the points whose nets an action may change.
func (a *action) surroundings() []name.Point {
	var all []name.Point
	for _, e := range a.events {
		all = append(all, e.at...)
	}
	slices.SortFunc(all, name.Point.Compare)
	return slices.Compact(all)
}
