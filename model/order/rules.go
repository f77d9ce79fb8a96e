package order

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// rules say what a state on the way may not have.
type rules struct {
	*arranger
	*through
	// now is the room as units are done, the old patch at first; new is the new.
	now, new *now
	// audible are loudspeakers and headphones that are not cut, speakers their
	// inputs.
	audible  []studio.Gear
	speakers map[name.Point]speaker
	// kept are the wants that must not be interrupted and are given before and
	// after, by destination.
	kept     map[name.Point]session.Want
	phantoms map[name.Point]bool
	// rung is true once something may have gone round: from then on it must be
	// looked at what is left of it, too, as only the shortest round of many is told.
	rung bool
	// muting are the outputs of matrices that mute one; silent are the gear that
	// such an output has off from the beginning.
	muting map[name.Point]bool
	silent map[string]bool
	// targetPlugs are the jacks that hold a plug in the new patch.
	targetPlugs map[name.Point]bool
	// both are the sources heard at inputs before and after, where anything may
	// change.
	both map[name.Point][]name.Point
	// before and after are the old and the new patch, once they are needed.
	before, after *heard.State
}

// speaker is an input of a loudspeaker or headphone.
type speaker struct {
	gear, called string
	may          []name.Point
}

func newRules(a *arranger) *rules {
	r := &rules{
		arranger: a, through: newThrough(a), now: a.now(a.from), new: a.now(patch.Patch(a.plan.Target)),
		speakers: map[name.Point]speaker{}, kept: map[name.Point]session.Want{},
		phantoms: map[name.Point]bool{}, both: map[name.Point][]name.Point{}, muting: map[name.Point]bool{}, silent: map[string]bool{},
		targetPlugs: map[name.Point]bool{},
	}
	for _, g := range a.room.Studio().Gear {
		sounds := r.isUp(g)
		if sounds {
			r.audible = append(r.audible, g)
		}
		if out := g.Mute.Output; sounds && !out.IsZero() {
			r.muting[out] = true
			r.silent[g.Name] = len(a.from.Inputs(out)) == 0 || len(patch.Patch(a.plan.Target).Inputs(out)) == 0
		}
		for _, p := range g.Ports {
			if p.Direction != studio.Input {
				continue
			}
			if p.Line.Phantom {
				r.phantoms[p.Point] = true
			}
			if sounds {
				r.speakers[p.Point] = speaker{g.Name, called(g), append(r.now.Hears(p.Point), r.new.Hears(p.Point)...)}
			}
		}
	}
	for _, p := range patch.Patch(a.plan.Target).Plugs() {
		r.targetPlugs[p] = true
	}
	for _, w := range a.session.Wants {
		if w.Keep && gives(r.now, w) && gives(r.new, w) {
			r.kept[w.Destination] = w
		}
	}
	return r
}

func gives(n *now, w session.Want) bool {
	heard := n.Hears(w.Destination)
	return len(heard) == 1 && heard[0] == w.Source
}

// mutes says whether an output of a matrix mutes a loudspeaker.
func (r *rules) mutes(output name.Point) bool { return r.muting[output] }

// isUp says whether gear is a loudspeaker or headphone that is not cut.
func (r *rules) isUp(g studio.Gear) bool {
	return g.Role != studio.RoleUnsaid && !slices.Contains(r.session.Cut, g.Name)
}

// listenOn notes what is heard in both patches by all inputs in zones that a unit
// leads to: nowhere else does anything change.
func (r *rules) listenOn(z *zones) {
	ring := false
	for _, u := range r.units {
		for _, zone := range z.at(u) {
			_, rings := z.rings.knot(zone)
			ring = ring || rings
			for at := range z.wires.from(zone) {
				r.noteZone(z, at)
			}
		}
	}
	r.rung = ring && slices.ContainsFunc(r.arranger.insides, func(inside []studio.Pass) bool {
		return len(r.now.Loops(inside, r.session.Loops)) > 0
	})
}

func (r *rules) noteZone(z *zones, zone name.Point) {
	for _, part := range z.parts[zone] {
		for _, in := range z.on[part] {
			if _, noted := r.both[in]; noted || r.gear[in.Owner] == nil {
				continue
			}
			after := r.new.Hears(in)
			r.both[in] = slices.DeleteFunc(r.now.Hears(in), func(p name.Point) bool { return p == in || !slices.Contains(after, p) })
		}
	}
}

// ends hears the old and the new patch anew; it is asked for seldom.
func (r *rules) ends() (before, after *heard.State) {
	if r.before == nil {
		r.before, r.after = r.room.Hear(r.from), r.room.Hear(patch.Patch(r.plan.Target))
	}
	return r.before, r.after
}

// joined is what is wrong where outputs are joined at one of some points that
// neither the old nor the new patch joins.
func (r *rules) joined(n *now, at []name.Point) []risk {
	if !n.Contended() {
		return nil
	}
	var found []risk
	for _, c := range n.Contentions() {
		here := slices.ContainsFunc(at, func(p name.Point) bool { return n.Joined(p, c.Drivers[0]) })
		if p, q, ok := r.newlyJoined(c.Drivers); here && ok {
			found = append(found, risk{clashes, fmt.Sprintf("%s and %s are joined", p, q), r.sounding(n, p)})
		}
	}
	return found
}

// newlyJoined are two of some joined outputs that neither the old nor the new
// patch joins.
func (r *rules) newlyJoined(drivers []name.Point) (p, q name.Point, ok bool) {
	before, after := r.ends()
	for i, q := range drivers {
		for _, p := range drivers[:i] {
			if !before.Joined(p, q) && !after.Joined(p, q) {
				return p, q, true
			}
		}
	}
	return p, q, false
}

// ringing is what is wrong where something goes round that does not in the old or
// the new patch.
func (r *rules) ringing(n *now) []risk {
	r.rung = true
	var found []risk
	for _, inside := range r.arranger.insides {
		for _, l := range n.Loops(inside, r.session.Loops) {
			if !r.anyway(l) {
				found = append(found, risk{clashes, fmt.Sprintf("there is a loop through %s", l.Through[0]), r.sounding(n, l.Through...)})
			}
		}
	}
	return found
}

// goesRound says whether anything may go round by way of some points.
func (r *rules) goesRound(n *now, at []name.Point) bool {
	return slices.ContainsFunc(at, func(p name.Point) bool {
		for i := range r.arranger.insides {
			if r.round(n, p, i) {
				return true
			}
		}
		return false
	})
}

// round says whether a signal from a point may come back to it. It never says no
// where there is a loop. It looks no further than what could come back in any
// state.
func (r *rules) round(n *now, at name.Point, inside int) bool {
	knot, ring := r.zones.rings.knot(r.zones.of(at))
	if !ring {
		return false
	}
	seen := map[name.Point]bool{}
	for queue := []name.Point{at}; len(queue) > 0; queue = queue[1:] {
		for _, p := range n.Net(queue[0]) {
			for _, out := range append(r.carried(p, inside), n.onward(p, r.meant)...) {
				if n.Joined(out, at) {
					return true
				}
				if other, _ := r.zones.rings.knot(r.zones.of(out)); !seen[out] && other == knot {
					seen[out] = true
					queue = append(queue, out)
				}
			}
		}
	}
	return false
}

// anyway says whether the old or the new patch has a loop, whatever else goes
// round there: metal from each output to the next input, and each crosspoint
// between.
func (r *rules) anyway(l heard.Loop) bool {
	before, after := r.ends()
	return r.goes(before, r.from, l) || r.goes(after, patch.Patch(r.plan.Target), l)
}

func (r *rules) goes(s *heard.State, p patch.Patch, l heard.Loop) bool {
	for i := 0; i < len(l.Through); i += 2 {
		in, out := l.Through[i], l.Through[i+1]
		if r.amplifiers[in.Owner] && !slices.Contains(p.Crosspoints, patch.Crosspoint{Output: out, Input: in}) {
			return false
		}
		if !s.Joined(out, l.Through[(i+2)%len(l.Through)]) {
			return false
		}
		if r.gear[in.Owner] != nil && len(s.Hears(in)) == 0 {
			return false // a plug in a socket before it has taken it over
		}
	}
	return true
}

// sounding are the loudspeakers from which one of some points would be heard,
// even as a click.
func (r *rules) sounding(n *now, points ...name.Point) []string {
	if len(r.speakers) == 0 {
		return nil
	}
	var gear []string
	for _, p := range points {
		for in := range r.leadsTo(n, p) {
			if s, ok := r.speakers[in]; ok && !slices.Contains(gear, s.gear) {
				gear = append(gear, s.gear)
			}
		}
	}
	slices.Sort(gear)
	return gear
}

// powered are the inputs with phantom power whose net a jack is on.
func (r *rules) powered(n *now, jack name.Point) []name.Point {
	if len(r.phantoms) == 0 {
		return nil
	}
	return slices.DeleteFunc(n.Net(jack), func(p name.Point) bool { return !r.phantoms[p] })
}
