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
	// known are contentions and loops that the old or the new patch has anyway.
	known map[string]bool
	// kept are the wants that must not be interrupted and are given before and
	// after.
	kept     []session.Want
	phantoms []name.Point
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
	// quiet is the gear that may sound; empty where none does.
	quiet string
}

func newRules(a *arranger) *rules {
	target := patch.Patch(a.plan.Target)
	r := &rules{arranger: a, old: a.room.Hear(a.from), new: a.room.Hear(target), known: map[string]bool{}}
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
	for _, state := range []*heard.State{r.old, r.new} {
		for _, k := range r.faults(state) {
			r.known[k.text] = true
		}
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

// faults are joined outputs and loops.
func (r *rules) faults(s *heard.State) []risk {
	var found []risk
	if s.Contended() {
		for _, c := range s.Contentions() {
			found = append(found, risk{weight: clashes, text: fmt.Sprintf("%s and %s are joined", c.Drivers[0], c.Drivers[1])})
		}
	}
	for _, inside := range r.insides {
		for _, l := range s.Loops(inside, r.session.Loops) {
			found = append(found, risk{weight: clashes, text: fmt.Sprintf("there is a loop through %s", l.Through[0])})
		}
	}
	return found
}

// judge says what is wrong with a state.
func (r *rules) judge(s *heard.State) []risk {
	var found []risk
	for _, f := range r.faults(s) {
		if !r.known[f.text] {
			found = append(found, f)
		}
	}
	for _, w := range r.kept {
		if !r.gives(s, w) {
			found = append(found, risk{weight: breaksUp, text: fmt.Sprintf("%s -> %s is interrupted", w.Source, w.Destination)})
		}
	}
	for _, sp := range r.speakers {
		for _, source := range s.Hears(sp.input) {
			if !slices.Contains(sp.may, source) {
				found = append(found, risk{sounds, fmt.Sprintf("%s would be heard from %s", source, sp.gear.Name), sp.gear.Name})
			}
		}
	}
	return found
}

// touch says what a plug at a jack may do besides: a click on everything that
// its net leads to, through gear as well.
func (r *rules) touch(s *heard.State, jack name.Point) (speakers []string, phantoms []name.Point, kept bool) {
	inputs, could := r.leadsTo(s, jack, false), r.leadsTo(s, jack, true)
	for _, sp := range r.speakers {
		if could[sp.input] && !slices.Contains(speakers, sp.gear.Name) {
			speakers = append(speakers, sp.gear.Name)
		}
	}
	for _, p := range r.phantoms {
		if s.Joined(jack, p) {
			phantoms = append(phantoms, p)
		}
	}
	for _, w := range r.kept {
		kept = kept || inputs[w.Destination]
	}
	return speakers, phantoms, kept
}

// leadsTo are the inputs of gear that hear a jack's net, straight or through
// what gear passes; could counts in what a desk or a switch could let through,
// since nobody but the person at the desk knows how its faders stand.
func (r *rules) leadsTo(s *heard.State, jack name.Point, could bool) map[name.Point]bool {
	found := map[name.Point]bool{}
	ahead := map[name.Point][]name.Point{}
	for _, g := range r.room.Studio().Gear {
		passes := slices.Clone(g.Passes)
		if could {
			passes = append(passes, g.CanPass...)
		}
		for _, p := range passes {
			ahead[p.In] = append(ahead[p.In], p.Out)
		}
	}
	for _, inside := range r.insides {
		for _, p := range inside {
			ahead[p.In] = append(ahead[p.In], p.Out)
		}
	}
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
