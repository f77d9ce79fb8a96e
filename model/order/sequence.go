package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// sequence finds an order that does no harm, or as little as there can be.
func (a *arranger) sequence() {
	slices.SortStableFunc(a.units, func(u, v *unit) int { return u.rank.compare(v.rank) })
	a.useAgain()
	a.zones = newZones(a)
	a.rules.listenOn(a.zones)
	a.surely()
	a.done = a.arrangement()
	for _, u := range a.done {
		u.effect = a.rules.do(a.rules.now, u)
	}
	a.batch()
}

// useAgain pulls last what is plugged next: it is in the hand already.
func (a *arranger) useAgain() {
	next := slices.IndexFunc(a.units, func(u *unit) bool { return u.move.Do == plan.Plug || u.move.Do == plan.PlugDummy })
	pulls := slices.IndexFunc(a.units, func(u *unit) bool { return u.rank.phase != pulling })
	if next < 0 || pulls < 0 {
		return
	}
	slices.SortStableFunc(a.units[:pulls], func(u, v *unit) int {
		switch used := u.gives(a.units[next]); {
		case used == v.gives(a.units[next]):
			return 0
		case used:
			return 1
		}
		return -1
	})
}

// surely finds what a plug at each jack clicks from in whatever order: what it
// leads to with nothing in but what stays in throughout. That must be muted.
func (a *arranger) surely() {
	a.sure, a.mutable = map[name.Point][]string{}, map[string]bool{}
	if len(a.rules.audible) == 0 {
		return
	}
	for _, u := range a.units {
		for _, jack := range u.touched {
			if _, known := a.sure[jack]; known {
				continue
			}
			a.sure[jack] = a.rules.sounding(a.zones.sparse, jack)
			for _, g := range a.sure[jack] {
				a.mutable[g] = true
			}
		}
	}
}

// jacks are those that hold a plug.
type jacks map[name.Point]bool

func (a *arranger) plugged() jacks {
	taken := jacks{}
	for _, p := range a.from.Plugs() {
		taken[p] = true
	}
	return taken
}

// allow says whether the jacks that a unit needs are free.
func (j jacks) allow(u *unit) bool {
	return !slices.ContainsFunc(u.enters, func(p name.Point) bool { return j[p] })
}

func (j jacks) take(u *unit) { j.change(u.leaves, u.enters) }
func (j jacks) undo(u *unit) { j.change(u.enters, u.leaves) }

func (j jacks) change(out, in []name.Point) {
	for _, p := range out {
		delete(j, p)
	}
	for _, p := range in {
		j[p] = true
	}
}
