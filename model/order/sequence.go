package order

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
)

// sequence finds an order that does no harm, or as little as there can be.
func (a *arranger) sequence() {
	slices.SortStableFunc(a.units, func(u, v *unit) int { return u.rank.compare(v.rank) })
	a.zones = newZones(a)
	a.done = a.arrangement()
	live := a.room.Live(a.from)
	for _, u := range a.done {
		a.apply(live, u)
	}
	a.batch()
}

// apply does a unit and notes what it risks, and what its plugs touch on the
// way.
func (a *arranger) apply(live *heard.Live, u *unit) {
	for _, r := range a.rules.judge(live.State) {
		u.hush(r.quiets...) // until what sounds is gone
	}
	for i, e := range u.events {
		a.touch(live, u)
		u.risks = append(u.risks, a.rules.moves(live.State, u, i)...)
		live.Change(e.out, e.in)
		a.touch(live, u)
		u.risks = append(u.risks, a.rules.moves(live.State, u, i)...)
		u.risks = append(u.risks, a.rules.judge(live.State)...)
	}
	for _, r := range u.risks {
		u.hush(r.quiets...)
	}
}

func (a *arranger) touch(live *heard.Live, u *unit) {
	for _, jack := range u.touched {
		speakers, phantoms := a.rules.touch(live.State, jack)
		u.hush(speakers...)
		for _, p := range phantoms {
			if !slices.Contains(u.unpowers, p) {
				u.unpowers = append(u.unpowers, p)
			}
		}
	}
}

func (u *unit) hush(gear ...string) {
	for _, g := range gear {
		if !slices.Contains(u.quiets, g) {
			u.quiets = append(u.quiets, g)
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

// batch joins what a matrix does in a row, with nothing of another matrix or a
// person that would have to come between.
func (a *arranger) batch() {
	var done []*unit
	for i := 0; i < len(a.done); {
		u := a.done[i]
		end := i + 1
		for u.matrix != "" && end < len(a.done) && a.done[end].matrix == u.matrix && batchable(a.done[i:end], a.done[end]) {
			end++
		}
		if end > i+1 {
			u = join(a.done[i:end])
		}
		done = append(done, u)
		i = end
	}
	a.done = done
}

// batchable says whether a crosspoint may go into a step: opens come before
// closes there, so none may be opened after one was closed.
func batchable(units []*unit, u *unit) bool {
	closing := func(v *unit) bool { return !v.changes[0].Input.IsZero() }
	return closing(u) || !slices.ContainsFunc(units, closing)
}
