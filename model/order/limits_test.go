package order_test

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/simulators/contacts"
)

// limits are what no state between two patches may have beyond both of them.
type limits struct {
	room    *heard.Room
	ends    []*heard.State
	insides [][]studio.Pass
	allow   []name.Point
	cut     []string
	// kept are the wants that must not be interrupted.
	kept []session.Want
	// patches are both ends, meters what is measured there, once it is.
	patches []patch.Patch
	meters  []*contacts.Readings
}

func newLimits(room *heard.Room, from, to patch.Patch, s *session.Session, previous []studio.Pass) *limits {
	l := &limits{room: room, ends: []*heard.State{room.Hear(from), room.Hear(to)}, insides: [][]studio.Pass{nil}, patches: []patch.Patch{from, to}}
	if s != nil {
		l.insides = [][]studio.Pass{s.Inside}
		l.allow, l.cut = s.Loops, s.Cut
		for _, w := range s.Wants {
			if w.Keep && gives(l.ends[0], w) && gives(l.ends[1], w) {
				l.kept = append(l.kept, w)
			}
		}
	}
	if len(previous) > 0 {
		l.insides = append(l.insides, previous)
	}
	return l
}

func gives(s *heard.State, w session.Want) bool {
	return slices.Equal(s.Hears(w.Destination), []name.Point{w.Source})
}

// judge looks at the state of a room.
func (l *limits) judge(r *replay, s plan.Step) {
	state := l.room.Hear(r.now)
	for _, c := range state.Contentions() {
		if a, b, ok := l.newlyJoined(c.Drivers); ok {
			r.clash(s, fmt.Sprintf("%s and %s are joined", a, b))
		}
	}
	for _, inside := range l.insides {
		for _, loop := range state.Loops(inside, l.allow) {
			if !l.loopBefore(loop) {
				r.clash(s, fmt.Sprintf("a loop through %v", loop.Through))
			}
		}
	}
	for _, w := range l.kept {
		if !gives(state, w) {
			r.breaks = append(r.breaks, w.Source.String()+" -> "+w.Destination.String()+" is interrupted")
		}
	}
	l.sounds(r, s, state)
}

// newlyJoined are two of some outputs that neither end joins.
func (l *limits) newlyJoined(drivers []name.Point) (a, b name.Point, ok bool) {
	for i, a := range drivers {
		for _, b := range drivers[:i] {
			if !l.ends[0].Joined(a, b) && !l.ends[1].Joined(a, b) {
				return b, a, true
			}
		}
	}
	return a, b, false
}

// loopBefore says whether one of the ends has a loop, whatever else goes round
// there: its crosspoints, and metal from each output to the next input.
func (l *limits) loopBefore(loop heard.Loop) bool {
	for i, end := range l.ends {
		whole := true
		for k := 0; k < len(loop.Through); k += 2 {
			in, out, next := loop.Through[k], loop.Through[k+1], loop.Through[(k+2)%len(loop.Through)]
			matrix := slices.ContainsFunc(l.room.Studio().Matrices, func(m studio.Matrix) bool { return m.Name == in.Owner })
			closed := slices.Contains(l.patches[i].Crosspoints, patch.Crosspoint{Output: out, Input: in})
			whole = whole && end.Joined(out, next) && (!matrix || closed) && !l.takenOver(i, in)
		}
		if whole {
			return true
		}
	}
	return false
}

// takenOver says whether a lead is in a socket that takes over an input, at one of
// the ends.
func (l *limits) takenOver(end int, in name.Point) bool {
	for _, g := range l.room.Studio().Gear {
		for _, s := range g.Overrides {
			if s.Rear == in && slices.ContainsFunc(l.patches[end].Leads, func(p patch.Lead) bool { return p.Port == s.Front }) {
				return true
			}
		}
	}
	return false
}

// listening are the loudspeakers and headphones that may sound.
func (l *limits) listening() []studio.Gear {
	return slices.DeleteFunc(slices.Clone(l.room.Studio().Gear), func(g studio.Gear) bool {
		return g.Role == studio.RoleUnsaid
	})
}

func (l *limits) sounds(r *replay, s plan.Step, state *heard.State) {
	for _, g := range l.listening() {
		if r.silenced(g) {
			continue
		}
		for _, in := range inputs(g) {
			for _, source := range state.Hears(in) {
				if !slices.Contains(l.ends[0].Hears(in), source) && !slices.Contains(l.ends[1].Hears(in), source) {
					r.fail(s, "%s is heard from %s", source, g.Name)
				}
			}
		}
	}
}

// touch looks whether a plug that goes in or out may do so: loudspeakers that
// would click are down, also those behind gear and behind what a desk may let
// through, and no phantom power is on.
func (l *limits) touch(r *replay, s plan.Step, jack name.Point) {
	state := l.room.Hear(r.now)
	if w, ok := l.onKept(state, jack); ok {
		r.touches = append(r.touches, "a plug moves on the way "+w.Source.String()+" -> "+w.Destination.String())
	}
	reached := l.behind(state, jack)
	for _, g := range l.listening() {
		if !r.silenced(g) && slices.ContainsFunc(inputs(g), func(in name.Point) bool { return reached[in] }) {
			r.fail(s, "%s would click", g.Name)
		}
	}
	l.unpowered(r, s, jack)
}

// thump looks whether phantom power may be switched at an input: a loudspeaker that it is heard
// from is down (common practice, no published source).
func (r *replay) thump(s plan.Step, in name.Point) {
	if r.limits == nil {
		return
	}
	reached := r.limits.behind(r.limits.room.Hear(r.now), in)
	for _, g := range r.limits.listening() {
		if !r.silenced(g) && slices.ContainsFunc(inputs(g), func(in name.Point) bool { return reached[in] }) {
			r.fail(s, "%s would thump", g.Name)
		}
	}
}

// relays looks whether a crosspoint may be switched: as metal it hands on no phantom power. It is
// looked at while it is closed, when it joins most.
func (r *replay) relays(s plan.Step, c name.Point) {
	if r.limits == nil || r.limits.room.Studio().MatrixNamed(c.Owner).Kind != studio.Contacts {
		return
	}
	r.limits.unpowered(r, s, c)
}

// unpowered looks whether the phantom power is off that is joined with a point.
func (l *limits) unpowered(r *replay, s plan.Step, at name.Point) {
	state := l.room.Hear(r.now)
	for _, g := range l.room.Studio().Gear {
		for _, p := range g.Ports {
			if p.Line.Phantom && state.Joined(p.Point, at) && !r.unpowered[p.Point] {
				r.fail(s, "the phantom power of %s is on", p.Point)
			}
		}
	}
}

// onKept says whether a jack is on a way that is kept.
func (l *limits) onKept(state *heard.State, jack name.Point) (session.Want, bool) {
	reached := state.Reaches(jack)
	for _, w := range l.kept {
		if slices.Contains(reached, w.Destination) {
			return w, true
		}
	}
	return session.Want{}, false
}

// behind are the inputs that a signal from a jack may come to.
func (l *limits) behind(state *heard.State, jack name.Point) map[name.Point]bool {
	var ways []studio.Pass
	for _, g := range l.room.Studio().Gear {
		ways = append(ways, append(slices.Clone(g.Passes), g.CanPass...)...)
	}
	for _, inside := range l.insides {
		ways = append(ways, inside...)
	}
	reached := map[name.Point]bool{}
	for _, in := range state.Reaches(jack) {
		reached[in] = true
	}
	for grew := true; grew; {
		grew = false
		for _, w := range ways {
			if !reached[w.In] {
				continue
			}
			for _, in := range state.Reaches(w.Out) {
				grew = grew || !reached[in]
				reached[in] = true
			}
		}
	}
	return reached
}

func inputs(g studio.Gear) []name.Point {
	var points []name.Point
	for _, p := range g.Ports {
		if p.Direction == studio.Input {
			points = append(points, p.Point)
		}
	}
	return points
}
