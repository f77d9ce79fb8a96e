package order

import (
	"cmp"
	"fmt"
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// unit is what becomes one step: a move, or what a matrix switches together.
type unit struct {
	move plan.Move // zero for a matrix
	// length is the cord's, as the stock has it.
	length measure.Length
	matrix string
	// changes are the outputs that are switched; the order does not matter, as
	// all are opened before any is closed.
	changes []plan.Change
	events  []event
	rank    rank
	// touched are the jacks that a plug goes in or out of; enters and leaves those
	// that hold one after it and not before, and the other way round.
	touched, enters, leaves []name.Point
	level                   level
	// sought is true once a least set of mutes was looked for.
	sought bool
	// upstream are the units without which nothing comes to it.
	upstream []*unit
	// half is nil for what is done at once.
	half *half
	// effect is what it does in its place that should not be.
	effect
	// wants are those that it carries, in words; because says why it is needed.
	wants   []string
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
}

// rank orders units that could come next.
type rank struct {
	phase      phase
	chain, hop int
	along      int
	point      name.Point
}

// chain is the chain of cords that a unit is one of.
func (u *unit) chain() (number int, in bool) { return u.rank.chain, u.rank.phase == making }

// follows says whether a unit stands downstream of another, or later in its
// chain.
func (u *unit) follows(v *unit) bool {
	if u.half != nil {
		u = u.half.of
	}
	if v.half != nil {
		v = v.half.of
	}
	chain, in := u.chain()
	before, also := v.chain()
	return in && also && chain == before && v.rank.compare(u.rank) < 0 || slices.Contains(u.upstream, v)
}

type phase uint8

const (
	pulling phase = iota
	opening
	breaking
	closing
	making
)

func (r rank) compare(o rank) int {
	return cmp.Or(
		cmp.Compare(r.phase, o.phase), cmp.Compare(r.chain, o.chain), cmp.Compare(r.hop, o.hop),
		cmp.Compare(r.along, o.along), r.point.Compare(o.point),
	)
}

// read makes the units of a plan.
func (a *arranger) read() error {
	for _, m := range a.plan.Moves {
		u, err := a.moveUnit(m)
		if err != nil {
			return err
		}
		a.units = append(a.units, u)
	}
	a.units = append(a.units, a.matrixUnits()...)
	a.rank()
	a.units = a.together(a.units)
	return nil
}

func (a *arranger) moveUnit(m plan.Move) (*unit, error) {
	u := &unit{move: m, length: lengthOf(a.room.Studio(), m.Length, m.Ends)}
	switch m.Do {
	case plan.Pull:
		u.move.Ends = a.destinationFirst(m.Ends)
	case plan.Plug:
		u.move.Ends = a.sourceFirst(m.Ends)
	case plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch:
		return nil, fmt.Errorf("a plan has the move %s, which is none", m.Do)
	}
	u.act()
	a.steal(u)
	return u, nil
}

// steal adds to the events of a lead the inputs that its plug takes over.
func (a *arranger) steal(u *unit) {
	if u.move.Do != plan.PlugLead && u.move.Do != plan.PullLead {
		return
	}
	port := u.move.Ends[0]
	u.events[0].at = append(u.events[0].at, a.stealsOf(port)...)
	u.events[0].joined = u.events[0].at
}

// stealsOf are the inputs that a socket takes over.
func (a *arranger) stealsOf(port name.Point) []name.Point {
	var rear []name.Point
	if g := a.rules.gear[port.Owner]; g != nil {
		for _, s := range g.Steals {
			if s.Front == port {
				rear = append(rear, s.Rear)
			}
		}
	}
	return rear
}

// act finds the events of a move.
func (u *unit) act() {
	m := u.move
	switch m.Do {
	case plan.Pull:
		u.pull()
	case plan.Plug:
		u.plug()
	case plan.MoveEnd:
		u.moveEnd()
	case plan.PlugDummy:
		u.event(m.Ends[0], patch.Patch{}, patch.Patch{Dummies: m.Ends})
	case plan.PullDummy:
		u.event(m.Ends[0], patch.Patch{Dummies: m.Ends}, patch.Patch{})
	case plan.PlugLead:
		u.event(m.Ends[1], patch.Patch{}, lead(m))
	case plan.PullLead:
		u.event(m.Ends[1], lead(m), patch.Patch{})
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch:
	}
}

// event adds one plug that goes in or out of a jack.
func (u *unit) event(jack name.Point, out, in patch.Patch) {
	at := append(out.Plugs(), in.Plugs()...)
	for _, l := range append(out.Leads, in.Leads...) {
		at = append(at, l.Port)
	}
	slices.SortFunc(at, name.Point.Compare)
	e := event{out: out, in: in, jack: jack, at: slices.Compact(at), joined: []name.Point{jack}}
	if len(in.Plugs()) > len(out.Plugs()) && len(in.Plugs()) == 1 && len(in.Leads) == 0 {
		e.joined = nil // it only breaks normals
	}
	u.events = append(u.events, e)
	u.touched = append(u.touched, jack)
	if slices.Contains(in.Plugs(), jack) {
		u.enters = append(u.enters, jack)
	} else {
		u.leaves = append(u.leaves, jack)
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
func (u *unit) pull() {
	e := u.move.Ends
	if len(e) > 1 {
		u.event(e[0], cords(e...), cords(e[1]))
	}
	last := e[len(e)-1]
	u.event(last, cords(last), patch.Patch{})
}

func (u *unit) plug() {
	e := u.move.Ends
	u.event(e[0], patch.Patch{}, cords(e[0]))
	if len(e) > 1 {
		u.event(e[1], cords(e[0]), cords(e...))
	}
}

// moveEnd leaves the first end in and takes the second elsewhere; where one of
// both has a single end, it is half of that.
func (u *unit) moveEnd() {
	from, to := u.move.Ends, u.move.To
	stay := from[0]
	if len(from) == 2 {
		u.event(from[1], cords(from...), cords(stay))
	}
	if len(to) == 2 {
		u.event(to[1], cords(stay), cords(to...))
	}
}
