package order

import (
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
)

// sequence takes one unit after the other: of those that do no harm the first
// by rank, and where each does some, the one that does the least.
func (a *arranger) sequence() {
	live := a.room.Live(a.from)
	left := slices.Clone(a.units)
	slices.SortStableFunc(left, func(u, v *unit) int {
		switch {
		case u.rank.less(v.rank):
			return -1
		case v.rank.less(u.rank):
			return 1
		}
		return 0
	})
	free := a.freeJacks()
	for len(left) > 0 {
		at, risks, weight := a.next(live, left, free)
		if at < 0 || weight >= clashes {
			if parted, ok := splitOne(left); ok {
				left = parted
				continue
			}
		}
		u := left[max(at, 0)]
		at = max(at, 0)
		left = slices.Delete(left, at, at+1)
		u.risks = risks
		a.apply(live, u)
		free.take(u)
		a.done = append(a.done, u)
	}
	a.batch()
}

// next is the place of the unit to take, what it risks, and how bad that is;
// negative where no unit can be taken.
func (a *arranger) next(live *heard.Live, left []*unit, free jacks) (at int, risks []risk, weight int) {
	best, least := -1, 0
	for i, u := range left {
		if !free.allow(u) || opensLater(left, u) {
			continue
		}
		found, weight := a.try(live, u)
		if best < 0 || weight < least {
			best, least, risks = i, weight, found
		}
		if weight == 0 {
			break
		}
	}
	return best, risks, least
}

// opensLater says whether a unit closes a crosspoint of an output that has
// another to be opened yet.
func opensLater(left []*unit, u *unit) bool {
	if u.matrix == "" || u.changes[0].Input.IsZero() {
		return false
	}
	return slices.ContainsFunc(left, func(v *unit) bool {
		return v.matrix != "" && v.changes[0].Input.IsZero() && v.changes[0].Output == u.changes[0].Output
	})
}

// try looks at every state that a unit brings, and undoes it.
func (a *arranger) try(live *heard.Live, u *unit) ([]risk, int) {
	var found []risk
	for _, e := range u.events {
		live.Change(e.out, e.in)
		found = append(found, a.rules.judge(live.State)...)
	}
	for i := len(u.events) - 1; i >= 0; i-- {
		live.Change(u.events[i].in, u.events[i].out)
	}
	weight := 0
	for _, r := range found {
		weight += r.weight
	}
	return found, weight
}

// apply does a unit and notes what its plugs touch on the way.
func (a *arranger) apply(live *heard.Live, u *unit) {
	for _, e := range u.events {
		a.touch(live, u)
		live.Change(e.out, e.in)
		a.touch(live, u)
	}
	for _, r := range u.risks {
		u.hush(r.quiet)
	}
}

func (a *arranger) touch(live *heard.Live, u *unit) {
	for _, jack := range u.touched {
		speakers, phantoms, kept := a.rules.touch(live.State, jack)
		for _, s := range speakers {
			u.hush(s)
		}
		for _, p := range phantoms {
			if !slices.Contains(u.unpowers, p) {
				u.unpowers = append(u.unpowers, p)
			}
		}
		if kept && len(u.risks) == 0 {
			u.risks = append(u.risks, risk{weight: breaksUp, text: "a plug on a kept way moves"})
		}
	}
}

func (u *unit) hush(gear string) {
	if gear != "" && !slices.Contains(u.quiets, gear) {
		u.quiets = append(u.quiets, gear)
	}
}

// jacks are those that hold a plug.
type jacks map[name.Point]bool

func (a *arranger) freeJacks() jacks {
	taken := jacks{}
	for _, p := range a.from.Plugs() {
		taken[p] = true
	}
	return taken
}

// enters and leaves are the jacks that a unit's plugs go into and come out of.
func (u *unit) enters() (in, out []name.Point) {
	for _, e := range u.events {
		before, after := e.out.Plugs(), e.in.Plugs()
		for _, p := range after {
			if !slices.Contains(before, p) {
				in = append(in, p)
			}
		}
		for _, p := range before {
			if !slices.Contains(after, p) {
				out = append(out, p)
			}
		}
	}
	return in, out
}

// allow says whether the jacks that a unit needs are free.
func (j jacks) allow(u *unit) bool {
	in, _ := u.enters()
	return !slices.ContainsFunc(in, func(p name.Point) bool { return j[p] })
}

func (j jacks) take(u *unit) {
	in, out := u.enters()
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
