package order

import (
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
)

// place is where a point stands on the way of a want.
type place struct {
	want  session.Want
	along int
}

// ranks says of the points on the ways of the wants, in the new patch, where
// they stand; the first want that goes there counts.
func (a *arranger) ranks() map[name.Point]place {
	at := map[name.Point]place{}
	state := a.room.Hear(patch.Patch(a.plan.Target))
	for _, w := range a.session.Wants {
		for _, way := range state.Ways(w.Destination) {
			if way.From != w.Source {
				continue
			}
			for i, step := range way.Steps {
				if _, had := at[step.Point]; !had {
					at[step.Point] = place{w, i}
				}
			}
			break
		}
	}
	return at
}

// setRank says when a unit would best come, and why it is needed.
func (a *arranger) setRank(u *unit, places map[name.Point]place) {
	points := u.touched
	if u.matrix != "" {
		points = []name.Point{u.changes[0].Output}
	} else {
		u.rank.point = u.touched[0]
		u.rank.phase = phaseOf(u)
	}
	found := false
	for _, p := range points {
		at, ok := places[p]
		if !ok || found && at.along >= u.rank.along {
			continue
		}
		found = true
		u.rank.chain, u.rank.hop, u.rank.along = at.want.Chain, at.want.Hop, at.along
		u.because = "carries " + at.want.Source.String() + " to " + at.want.Destination.String()
	}
	switch {
	case u.rank.phase == pulling || u.rank.phase == opening:
		u.rank.chain, u.rank.hop, u.rank.along = 0, 0, 0
		u.because = a.whyOut(u)
	case !found && u.rank.phase == making:
		u.rank.phase = breaking
	}
	if u.because == "" {
		u.because = a.whyIn(u)
	}
}

func phaseOf(u *unit) phase {
	if len(u.enters) == 0 {
		return pulling
	}
	return making
}

// whyOut says why something is taken out.
func (a *arranger) whyOut(u *unit) string {
	for _, p := range patch.Patch(a.plan.Target).Plugs() {
		for _, j := range u.touched {
			if p == j && u.matrix == "" {
				return "frees " + j.String()
			}
		}
	}
	live := a.room.Live(a.from)
	u.run(live)
	if d, s, ok := a.differs(a.rules.old, live.State); ok {
		return "carried " + s.String() + " to " + d.String() + ", which is not asked for"
	}
	if d, s, ok := a.differs(live.State, a.rules.old); ok {
		return "lets " + s.String() + " come to " + d.String() + " again"
	}
	return "is not needed"
}

// whyIn says what a plug that carries nothing that is asked for is for: what
// would be without it.
func (a *arranger) whyIn(u *unit) string {
	live := a.room.Live(patch.Patch(a.plan.Target))
	u.unrun(live)
	for _, c := range live.Contentions() {
		return "keeps " + c.Drivers[0].String() + " and " + c.Drivers[1].String() + " apart"
	}
	if d, s, ok := a.differs(live.State, a.rules.new); ok {
		return "keeps " + s.String() + " away from " + d.String()
	}
	if d, s, ok := a.differs(a.rules.new, live.State); ok {
		return "carries " + s.String() + " to " + d.String()
	}
	return "is part of the room at rest"
}

// run does a unit's events, unrun undoes them.
func (u *unit) run(live *heard.Live) {
	for _, e := range u.events {
		live.Change(e.out, e.in)
	}
}

func (u *unit) unrun(live *heard.Live) {
	for i := len(u.events) - 1; i >= 0; i-- {
		live.Change(u.events[i].in, u.events[i].out)
	}
}

// differs finds the first destination, in the order of the studio, that hears a
// source in one state and not in another.
func (a *arranger) differs(with, without *heard.State) (destination, source name.Point, ok bool) {
	for _, g := range a.room.Studio().Gear {
		for _, p := range g.Ports {
			had := map[name.Point]bool{}
			for _, s := range without.Hears(p.Point) {
				had[s] = true
			}
			for _, s := range with.Hears(p.Point) {
				if !had[s] && s != p.Point {
					return p.Point, s, true
				}
			}
		}
	}
	return name.Point{}, name.Point{}, false
}
