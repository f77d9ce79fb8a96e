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
	old, new *heard.State
	speakers []speaker
	// loops are those that the old or the new patch has anyway, for each of what
	// the software carries.
	loops [][]heard.Loop
	// kept are the wants that must not be interrupted and are given before and
	// after.
	kept []session.Want
	// passes say where each input of gear leads, could also where it can.
	passes, could map[name.Point][]name.Point
	phantoms      []name.Point
}

// speaker is an input of a loudspeaker or headphone that is not cut.
type speaker struct {
	gear  studio.Gear
	input name.Point
	may   []name.Point
}

// risk is something that a state should not have.
type risk struct {
	// weight: a joined output or a loop is worse than a sound.
	weight int
	text   string
	// quiets are the gear that may sound.
	quiets []string
}

func newRules(a *arranger) *rules {
	target := patch.Patch(a.plan.Target)
	r := &rules{arranger: a, old: a.room.Hear(a.from), new: a.room.Hear(target)}
	for _, g := range a.room.Studio().Gear {
		for _, p := range g.Ports {
			if p.Direction != studio.Input {
				continue
			}
			if p.Line.Phantom {
				r.phantoms = append(r.phantoms, p.Point)
			}
			if g.Role != studio.RoleUnsaid && !slices.Contains(a.session.Cut, g.Name) {
				may := append(r.old.Hears(p.Point), r.new.Hears(p.Point)...)
				r.speakers = append(r.speakers, speaker{g, p.Point, may})
			}
		}
	}
	r.readPasses()
	for _, inside := range a.insides {
		r.loops = append(r.loops, append(r.old.Loops(inside, a.session.Loops), r.new.Loops(inside, a.session.Loops)...))
	}
	for _, w := range a.session.Wants {
		if w.Keep && r.gives(r.old, w) && r.gives(r.new, w) {
			r.kept = append(r.kept, w)
		}
	}
	return r
}

func (r *rules) gives(s *heard.State, w session.Want) bool {
	heard := s.Hears(w.Destination)
	return len(heard) == 1 && heard[0] == w.Source
}

// mutes says whether an output of a matrix mutes a loudspeaker.
func (r *rules) mutes(output name.Point) bool {
	return slices.ContainsFunc(r.speakers, func(s speaker) bool { return s.gear.Mute.Output == output })
}

const (
	sounds   = 1
	breaksUp = 4
	clashes  = 16
)

// faults are joined outputs and loops that neither the old nor the new patch
// has.
func (r *rules) faults(s *heard.State) []risk {
	var found []risk
	if s.Contended() {
		for _, c := range s.Contentions() {
			if p, q, ok := r.newlyJoined(c.Drivers); ok {
				found = append(found, risk{clashes, fmt.Sprintf("%s and %s are joined", p, q), r.sounding(s, p)})
			}
		}
	}
	for i, inside := range r.insides {
		for _, l := range s.Loops(inside, r.session.Loops) {
			if !slices.ContainsFunc(r.loops[i], func(known heard.Loop) bool { return within(l, known) }) {
				found = append(found, risk{clashes, fmt.Sprintf("there is a loop through %s", l.Through[0]), r.sounding(s, l.Through...)})
			}
		}
	}
	return found
}

// newlyJoined are two of some joined outputs that neither the old nor the new
// patch joins.
func (r *rules) newlyJoined(drivers []name.Point) (p, q name.Point, ok bool) {
	for i, q := range drivers {
		for _, p := range drivers[:i] {
			if !r.old.Joined(p, q) && !r.new.Joined(p, q) {
				return p, q, true
			}
		}
	}
	return p, q, false
}

// within says whether a loop goes through nothing but what another goes through.
func within(l, known heard.Loop) bool {
	return !slices.ContainsFunc(l.Through, func(p name.Point) bool { return !slices.Contains(known.Through, p) })
}

// sounding are the loudspeakers from which one of some points would be heard.
func (r *rules) sounding(s *heard.State, points ...name.Point) []string {
	var gear []string
	for _, p := range points {
		reached := r.leadsTo(s, p, true)
		for _, sp := range r.speakers {
			if reached[sp.input] && !slices.Contains(gear, sp.gear.Name) {
				gear = append(gear, sp.gear.Name)
			}
		}
	}
	return gear
}

// judge says what is wrong with a state.
func (r *rules) judge(s *heard.State) []risk {
	found := r.faults(s)
	for _, w := range r.kept {
		if !r.gives(s, w) {
			found = append(found, risk{weight: breaksUp, text: fmt.Sprintf("%s -> %s is interrupted", w.Source, w.Destination)})
		}
	}
	for _, sp := range r.speakers {
		for _, source := range s.Hears(sp.input) {
			if !slices.Contains(sp.may, source) {
				found = append(found, risk{sounds, fmt.Sprintf("%s would be heard from %s", source, sp.gear.Name), []string{sp.gear.Name}})
			}
		}
	}
	return found
}

// moves says what is wrong with a plug that moves in a state: the way of what is
// kept goes there.
func (r *rules) moves(s *heard.State, u *unit, event int) []risk {
	if len(r.kept) == 0 || u.matrix != "" {
		return nil
	}
	var found []risk
	reached := s.Reaches(u.touched[event])
	for _, w := range r.kept {
		if slices.Contains(reached, w.Destination) {
			found = append(found, risk{weight: breaksUp, text: fmt.Sprintf("a plug moves on the way %s -> %s", w.Source, w.Destination)})
		}
	}
	return found
}

// touch says what a plug at a jack may do besides: a click on everything that
// its net leads to, through gear as well.
func (r *rules) touch(s *heard.State, jack name.Point) (speakers []string, phantoms []name.Point) {
	for _, p := range r.phantoms {
		if s.Joined(jack, p) {
			phantoms = append(phantoms, p)
		}
	}
	return r.sounding(s, jack), phantoms
}

// leadsTo are the inputs of gear that hear a jack's net, straight or through
// what gear passes; could counts in what a desk or a switch could let through,
// since nobody but the person at the desk knows how its faders stand.
func (r *rules) leadsTo(s *heard.State, jack name.Point, could bool) map[name.Point]bool {
	ahead := r.passes
	if could {
		ahead = r.could
	}
	found := map[name.Point]bool{}
	for queue := []name.Point{jack}; len(queue) > 0; queue = queue[1:] {
		for _, in := range s.Reaches(queue[0]) {
			if !found[in] {
				found[in] = true
				queue = append(queue, ahead[in]...)
			}
		}
	}
	return found
}

// readPasses notes where each input of gear leads.
func (r *rules) readPasses() {
	r.passes, r.could = map[name.Point][]name.Point{}, map[name.Point][]name.Point{}
	add := func(passes []studio.Pass, to ...map[name.Point][]name.Point) {
		for _, p := range passes {
			for _, ahead := range to {
				ahead[p.In] = append(ahead[p.In], p.Out)
			}
		}
	}
	for _, g := range r.room.Studio().Gear {
		add(g.Passes, r.passes, r.could)
		add(g.CanPass, r.could)
	}
	for _, inside := range r.insides {
		add(inside, r.passes, r.could)
	}
}
