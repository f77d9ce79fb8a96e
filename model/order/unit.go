package order

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// unit is what becomes one step: a move, or what a matrix switches together.
type unit struct {
	move   plan.Move // zero for a matrix
	matrix string
	// changes are the outputs that are switched; the order does not matter, as
	// all are opened before any is closed.
	changes []plan.Change
	events  []event
	rank    rank
	// touched are the jacks that a plug goes in or out of.
	touched []name.Point
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

func (r rank) less(o rank) bool {
	switch {
	case r.phase != o.phase:
		return r.phase < o.phase
	case r.chain != o.chain:
		return r.chain < o.chain
	case r.hop != o.hop:
		return r.hop < o.hop
	case r.along != o.along:
		return r.along < o.along
	}
	return r.point.Compare(o.point) < 0
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
	u := &unit{move: m}
	switch m.Do {
	case plan.Pull:
		u.move.Ends = ends.destinationFirst(m.Ends)
		u.pull()
	case plan.Plug:
		u.move.Ends = ends.sourceFirst(m.Ends)
		u.plug()
	case plan.MoveEnd:
		u.moveEnd()
	case plan.PlugDummy:
		u.events = []event{{in: patch.Patch{Dummies: m.Ends}}}
		u.touched = m.Ends
	case plan.PullDummy:
		u.events = []event{{out: patch.Patch{Dummies: m.Ends}}}
		u.touched = m.Ends
	case plan.PlugLead, plan.PullLead:
		lead := patch.Patch{Leads: []patch.Lead{{Port: m.Ends[0], Jack: m.Ends[1]}}}
		u.events = []event{{in: lead}}
		if m.Do == plan.PullLead {
			u.events = []event{{out: lead}}
		}
		u.touched = m.Ends[1:]
	case plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch:
		return nil, fmt.Errorf("a plan has the move %s, which is none", m.Do)
	}
	return u, nil
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
	u.touched = e
	if len(e) == 1 {
		u.events = []event{{out: cords(e[0])}}
		return
	}
	u.events = []event{{out: cords(e...), in: cords(e[1])}, {out: cords(e[1])}}
}

func (u *unit) plug() {
	e := u.move.Ends
	u.touched = e
	if len(e) == 1 {
		u.events = []event{{in: cords(e[0])}}
		return
	}
	u.events = []event{{in: cords(e[0])}, {out: cords(e[0]), in: cords(e...)}}
}

// moveEnd leaves the first end in and takes the second elsewhere; where one of
// both has a single end, it is half of that.
func (u *unit) moveEnd() {
	from, to := u.move.Ends, u.move.To
	stay := from[0]
	if len(from) == 2 {
		u.events = append(u.events, event{out: cords(from...), in: cords(stay)})
		u.touched = append(u.touched, from[1])
	}
	if len(to) == 2 {
		u.events = append(u.events, event{out: cords(stay), in: cords(to...)})
		u.touched = append(u.touched, to[1])
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
