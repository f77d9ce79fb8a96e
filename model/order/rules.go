package order

import (
	"fmt"
	"slices"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// rules say what a state on the way may not have.
type rules struct {
	facts *facts
	zones *zones
	// now is the room as actions are done, the old patch at first; new is the new.
	now, new *state
	// speakers are the inputs of audible gear.
	speakers map[name.Point]speaker
	// kept are the wants that must not be interrupted and are given before and
	// after, by destination.
	kept     map[name.Point]session.Want
	phantoms map[name.Point]bool
	// looped is true once something may have gone round: from then on it must be
	// looked at what is left of it, too, as only the shortest loop of many is told.
	looped bool
	// silent are the gear that is muted from the beginning: cut by the session, by an
	// output of a matrix that is off, or since it must be muted on the way anyhow.
	silent map[string]bool
	// both are the sources heard at inputs before and after, where anything may
	// change.
	both map[name.Point][]name.Point
	// before and after are the old and the new patch, once they are needed.
	before, after *heard.State
}

// speaker is an input of a loudspeaker or headphone, and what it hears before or
// after.
type speaker struct {
	gear, called string
	may          []name.Point
}

func newRules(f *facts) *rules {
	r := &rules{
		facts: f, now: f.state(f.from), new: f.state(f.target),
		speakers: map[name.Point]speaker{}, kept: map[name.Point]session.Want{},
		phantoms: map[name.Point]bool{}, both: map[name.Point][]name.Point{}, silent: map[string]bool{},
	}
	for _, g := range f.audible {
		for _, p := range inputs(g) {
			r.speakers[p] = speaker{g.Name, called(g), append(r.now.live.Hears(p), r.new.live.Hears(p)...)}
		}
		r.silent[g.Name] = f.silent(g)
	}
	for _, g := range f.studio.Gear {
		for _, p := range g.Ports {
			if p.Direction == studio.Input && p.Line.Phantom {
				r.phantoms[p.Point] = true
			}
		}
	}
	for _, w := range f.session.Wants {
		if w.Keep && gives(r.now, w) && gives(r.new, w) {
			r.kept[w.Destination] = w
		}
	}
	return r
}

func gives(s *state, w session.Want) bool {
	heard := s.live.Hears(w.Destination)
	return len(heard) == 1 && heard[0] == w.Source
}

// watch takes the zones, and notes what is heard in both patches by all inputs in
// those that an action leads to: nowhere else does anything change.
func (r *rules) watch(z *zones, actions []*action) {
	r.zones = z
	cyclic := false
	for _, a := range actions {
		for _, zone := range z.of(a) {
			cyclic = cyclic || z.cycles.cyclic(zone)
			for at := range z.paths.from(zone) {
				r.watchZone(at)
			}
		}
	}
	r.looped = cyclic && slices.ContainsFunc(r.facts.insides, func(i inside) bool {
		return len(r.now.live.Loops(i.passes, r.facts.session.Loops)) > 0
	})
}

func (r *rules) watchZone(zone name.Point) {
	for _, in := range r.zones.points(zone) {
		if _, noted := r.both[in]; noted || r.facts.gear[in.Owner] == nil {
			continue
		}
		after := r.new.live.Hears(in)
		r.both[in] = slices.DeleteFunc(r.now.live.Hears(in), func(p name.Point) bool { return p == in || !slices.Contains(after, p) })
	}
}

// ends hears the old and the new patch anew; it is asked for seldom.
func (r *rules) ends() (before, after *heard.State) {
	if r.before == nil {
		r.before, r.after = r.facts.room.Hear(r.facts.from), r.facts.room.Hear(r.facts.target)
	}
	return r.before, r.after
}

// do does an action and says what comes of it.
func (r *rules) do(a *action) effect {
	var e effect
	for _, ev := range a.events {
		before := r.hearing(ev.at)
		loops := r.looped && r.mayLoop(ev.at)
		r.touch(ev.jack, &e)
		r.now.change(ev.out, ev.in)
		r.touch(ev.jack, &e)
		e.add(r.contentions(ev.at)...)
		if loops || r.mayLoop(ev.joined) {
			e.add(r.loops()...)
		}
		reached := r.now.reaches(ev.at)
		r.sounds(reached, &e)
		r.interruptions(before, &e)
		r.keep(reached, before, &e)
	}
	return e
}

// hearing is what some inputs hear of what they hear in both patches.
type hearing map[name.Point][]name.Point

// hearing is that of all inputs which hear one of some points.
func (r *rules) hearing(at []name.Point) hearing {
	h := hearing{}
	for _, in := range r.now.reaches(at) {
		if both := r.both[in]; len(both) > 0 {
			h[in] = slices.DeleteFunc(r.now.live.Hears(in), func(p name.Point) bool { return !slices.Contains(both, p) })
		}
	}
	return h
}

// touch is what a plug at a jack does while it moves.
func (r *rules) touch(jack name.Point, e *effect) {
	if jack.IsZero() {
		return
	}
	e.mute(r.audibleFrom(r.now, jack)...)
	e.powerOff(r.phantomAt(jack)...)
	if len(r.kept) == 0 {
		return
	}
	for _, in := range r.now.live.Reaches(jack) {
		if w, ok := r.kept[in]; ok {
			e.add(hazard{weight: weighsTouch, text: fmt.Sprintf("a plug moves on the way %s -> %s", w.Source, w.Destination)})
		}
	}
}

// sounds is what has come to be heard from loudspeakers.
func (r *rules) sounds(reached []name.Point, e *effect) {
	for _, in := range reached {
		s, ok := r.speakers[in]
		if !ok {
			continue
		}
		for _, source := range r.now.live.Hears(in) {
			if !slices.Contains(s.may, source) {
				e.add(hazard{weighsSound, fmt.Sprintf("%s would be heard from %s", source, s.called), []string{s.gear}})
			}
		}
	}
}

// interruptions are what is not heard any more of what was heard before.
func (r *rules) interruptions(before hearing, e *effect) {
	for in, sources := range before {
		heard := r.now.live.Hears(in)
		for _, p := range sources {
			if !slices.Contains(heard, p) {
				e.interrupted = append(e.interrupted, hearer{in, p})
			}
		}
	}
}

// keep looks at what is to be kept and may have changed.
func (r *rules) keep(reached []name.Point, before hearing, e *effect) {
	if len(r.kept) == 0 {
		return
	}
	changed := slices.Clone(reached)
	for in := range before {
		changed = append(changed, in)
	}
	slices.SortFunc(changed, name.Point.Compare)
	for _, in := range slices.Compact(changed) {
		if w, ok := r.kept[in]; ok && !gives(r.now, w) {
			e.add(hazard{weight: weighsInterrupt, text: interrupted(w)})
		}
	}
}

// inBetween is a reason with what is so until a later step.
func inBetween(reason, hazard string) string {
	return phrase.Put("{reason}; in between, {hazard}", "reason", reason, "hazard", hazard)
}

func interrupted(w session.Want) string {
	return phrase.Put("{source} -> {destination} is interrupted", "source", w.Source.String(), "destination", w.Destination.String())
}

// contentions are outputs that are joined at one of some points and that neither
// the old nor the new patch joins.
func (r *rules) contentions(at []name.Point) []hazard {
	if !r.now.live.Contended() {
		return nil
	}
	var found []hazard
	for _, c := range r.now.live.Contentions() {
		here := slices.ContainsFunc(at, func(p name.Point) bool { return r.now.live.Joined(p, c.Drivers[0]) })
		if p, q, ok := r.newlyJoined(c.Drivers); here && ok {
			found = append(found, hazard{weighsClash, fmt.Sprintf("%s and %s are joined", p, q), r.audibleFrom(r.now, p)})
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

// audibleFrom are the loudspeakers from which one of some points would be heard,
// even as a click.
func (r *rules) audibleFrom(s *state, points ...name.Point) []string {
	if len(r.speakers) == 0 {
		return nil
	}
	var gear []string
	for _, p := range points {
		for in := range r.mayReach(s, p) {
			if at, ok := r.speakers[in]; ok && !slices.Contains(gear, at.gear) {
				gear = append(gear, at.gear)
			}
		}
	}
	slices.Sort(gear)
	return gear
}

// mayReach are the inputs of gear that may hear a point, straight or through gear.
func (r *rules) mayReach(s *state, at name.Point) map[name.Point]bool {
	found := map[name.Point]bool{}
	for queue := []name.Point{at}; len(queue) > 0; queue = queue[1:] {
		for _, in := range s.live.Reaches(queue[0]) {
			if !found[in] {
				found[in] = true
				queue = append(queue, r.facts.mayCarry(in)...)
			}
		}
	}
	return found
}

// phantomAt are the inputs with phantom power whose net a jack is on.
func (r *rules) phantomAt(jack name.Point) []name.Point {
	if len(r.phantoms) == 0 {
		return nil
	}
	return slices.DeleteFunc(r.now.live.Net(jack), func(p name.Point) bool { return !r.phantoms[p] })
}
