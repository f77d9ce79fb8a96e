package order

import (
	"cmp"
	"fmt"
	"slices"

	"bayhand/model/heard"
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
	// half is nil for what is done at once.
	half *half
	// risks are what it does that should not be; empty where all is well.
	risks []risk
	// quiets are the gear that must be muted before it.
	quiets []string
	// unpowers are the inputs whose phantom power goes off before it.
	unpowers []name.Point
	because  string
}

// event is one change of the room.
type event struct {
	out, in patch.Patch
}

// rank orders units that could come next.
type rank struct {
	phase      phase
	chain, hop int
	along      int
	point      name.Point
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
	ends := newEnds(a)
	for _, m := range a.plan.Moves {
		u, err := a.moveUnit(m, ends)
		if err != nil {
			return err
		}
		a.units = append(a.units, u)
	}
	a.units = append(a.units, a.matrixUnits()...)
	ranks := a.ranks()
	for _, u := range a.units {
		a.setRank(u, ranks)
	}
	return nil
}

func (a *arranger) moveUnit(m plan.Move, ends ends) (*unit, error) {
	u := &unit{move: m, length: lengthOf(a.room.Studio(), m.Length, m.Ends)}
	switch m.Do {
	case plan.Pull:
		u.move.Ends = ends.destinationFirst(m.Ends)
	case plan.Plug:
		u.move.Ends = ends.sourceFirst(m.Ends)
	case plan.MoveEnd, plan.PlugDummy, plan.PullDummy, plan.PlugLead, plan.PullLead:
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch:
		return nil, fmt.Errorf("a plan has the move %s, which is none", m.Do)
	}
	u.act()
	return u, nil
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
	u.events = append(u.events, event{out, in})
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

// ends says which end of a cord is nearer to its source.
type ends struct {
	room     *heard.Room
	old, new patch.Patch
}

func newEnds(a *arranger) ends {
	return ends{a.room, a.from, patch.Patch(a.plan.Target)}
}

func (e ends) destinationFirst(ends []name.Point) []name.Point {
	ordered := e.from(e.old, ends)
	slices.Reverse(ordered)
	return ordered
}

func (e ends) sourceFirst(ends []name.Point) []name.Point { return e.from(e.new, ends) }

// from puts the end first where something is heard, or else driven, with the
// cord cut in the middle.
func (e ends) from(p patch.Patch, ends []name.Point) []name.Point {
	ordered := slices.Clone(ends)
	if len(ends) < 2 {
		return ordered
	}
	live := e.room.Live(p)
	both := patch.Patch{Cords: []patch.Cord{{A: ends[0]}, {A: ends[1]}}}
	live.Change(cords(ends...), both)
	if e.sourced(live, ends[1]) > e.sourced(live, ends[0]) {
		slices.Reverse(ordered)
	}
	return ordered
}

// sourced is 2 where something is heard at a jack, 1 where an output stands.
func (e ends) sourced(live *heard.Live, jack name.Point) int {
	if len(live.Hears(jack)) > 0 {
		return 2
	}
	for _, p := range live.Net(jack) {
		if p.Stem == "out" && isMatrix(e.room, p.Owner) {
			return 1
		}
	}
	return 0
}

func isMatrix(room *heard.Room, owner string) bool {
	for _, m := range room.Studio().Matrices {
		if m.Name == owner {
			return true
		}
	}
	return false
}
