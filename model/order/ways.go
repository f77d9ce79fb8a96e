package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
)

// rank says of all units when they would best come, and why they are needed.
func (a *arranger) rank() {
	bySource := map[name.Point][]*unit{}
	wanted := a.wanted()
	for _, u := range a.units {
		u.rank.phase = phaseOf(u)
		if u.matrix == "" {
			u.rank.point = u.touched[0]
		}
		if u.rank.phase == pulling || u.rank.phase == opening {
			u.because = a.whyOut(u)
			continue
		}
		at, ok := a.carries(u, wanted)
		if !ok {
			if u.rank.phase == making {
				u.rank.phase = breaking
			}
			u.because = a.whyIn(u)
			continue
		}
		w := a.session.Wants[at]
		u.rank.chain, u.rank.hop = w.Chain, w.Hop
		u.because = "carries " + w.Source.String() + " to " + w.Destination.String()
		u.wants = []string{u.because}
		bySource[w.Source] = append(bySource[w.Source], u)
	}
	for source, units := range bySource {
		a.downstream(source, units)
	}
}

func phaseOf(u *unit) phase {
	switch {
	case u.matrix != "" && u.changes[0].Input.IsZero():
		return opening
	case u.matrix != "":
		return closing
	case len(u.enters) == 0:
		return pulling
	}
	return making
}

// wanted are the numbers of the wants by their destinations.
func (a *arranger) wanted() map[name.Point][]int {
	all := map[name.Point][]int{}
	for i, w := range a.session.Wants {
		all[w.Destination] = append(all[w.Destination], i)
	}
	return all
}

// carries finds the first want that a unit carries in the new patch: without it
// the source is not heard there.
func (a *arranger) carries(u *unit, wanted map[name.Point][]int) (want int, ok bool) {
	n := a.rules.new
	var near []int
	for _, in := range n.reaches(u.stands()) {
		for _, i := range wanted[in] {
			if n.hears(in, a.session.Wants[i].Source) {
				near = append(near, i)
			}
		}
	}
	slices.Sort(near)
	n.unrun(u)
	defer n.run(u)
	for _, i := range near {
		if w := a.session.Wants[i]; !n.hears(w.Destination, w.Source) {
			return i, true
		}
	}
	if len(near) > 0 && len(u.stands()) > 1 {
		return near[0], true // beside another way
	}
	return 0, false
}

// stands are the points at which a unit is in the new patch.
func (u *unit) stands() []name.Point {
	switch {
	case u.matrix != "":
		var all []name.Point
		for _, c := range u.changes {
			all = append(all, c.Output)
		}
		return all
	case u.move.Do == plan.MoveEnd:
		return u.move.To
	case u.move.Do == plan.PlugLead:
		return u.move.Ends[1:]
	}
	return u.move.Ends
}

// downstream says which of the units that carry a source stand upstream of each:
// without them nothing comes to it.
func (a *arranger) downstream(source name.Point, units []*unit) {
	if len(units) < 2 {
		return
	}
	n := a.rules.new
	for _, u := range units {
		n.unrun(u)
		for _, v := range units {
			points := v.stands()
			if v.matrix != "" {
				points = []name.Point{v.changes[0].Input}
			}
			if u == v || slices.ContainsFunc(points, func(p name.Point) bool { return n.hears(p, source) }) {
				continue
			}
			v.upstream = append(v.upstream, u)
			v.rank.along++
		}
		n.run(u)
	}
}

// whyOut says why something is taken out.
func (a *arranger) whyOut(u *unit) string {
	for _, j := range u.touched {
		if a.rules.targetPlugs[j] {
			return "frees " + j.String()
		}
	}
	n := a.rules.now
	at := u.surroundings()
	before := n.heardFrom(at)
	n.run(u)
	after := n.heardFrom(at)
	n.unrun(u)
	if d, s, ok := differs(before, after); ok {
		return "carried " + s.String() + " to " + d.String() + ", which is not asked for"
	}
	if d, s, ok := differs(after, before); ok {
		return "lets " + s.String() + " come to " + d.String() + " again"
	}
	return "is not needed"
}

// whyIn says what a plug that carries nothing that is asked for is for: what
// would be without it.
func (a *arranger) whyIn(u *unit) string {
	n := a.rules.new
	at := u.surroundings()
	with := n.heardFrom(at)
	n.unrun(u)
	without := n.heardFrom(at)
	contentions := []name.Point(nil)
	if n.Contended() {
		for _, c := range n.Contentions() {
			if slices.ContainsFunc(at, func(p name.Point) bool { return n.Joined(p, c.Drivers[0]) }) {
				contentions = c.Drivers
				break
			}
		}
	}
	n.run(u)
	if len(contentions) > 0 {
		return "keeps " + contentions[0].String() + " and " + contentions[1].String() + " apart"
	}
	if d, s, ok := differs(without, with); ok {
		return "keeps " + s.String() + " away from " + d.String()
	}
	if d, s, ok := differs(with, without); ok {
		return "carries " + s.String() + " to " + d.String()
	}
	return "is part of the room at rest"
}

// surroundings are the points whose nets a unit may change.
func (u *unit) surroundings() []name.Point {
	var all []name.Point
	for _, e := range u.events {
		all = append(all, e.at...)
	}
	slices.SortFunc(all, name.Point.Compare)
	return slices.Compact(all)
}

// heardAt is what an input hears.
type heardAt struct {
	in      name.Point
	sources []name.Point
}

// heardFrom is what all inputs hear that hear one of some points.
func (n *now) heardFrom(at []name.Point) []heardAt {
	var all []heardAt
	for _, in := range n.reaches(at) {
		all = append(all, heardAt{in, n.Hears(in)})
	}
	return all
}

// differs finds the first destination that hears a source in one state and not
// in another.
func differs(with, without []heardAt) (destination, source name.Point, ok bool) {
	for _, h := range with {
		var had []name.Point
		if at := slices.IndexFunc(without, func(o heardAt) bool { return o.in == h.in }); at >= 0 {
			had = without[at].sources
		}
		for _, s := range h.sources {
			if !slices.Contains(had, s) {
				return h.in, s, true
			}
		}
	}
	return name.Point{}, name.Point{}, false
}
