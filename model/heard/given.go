package heard

import (
	"fmt"
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// FaultKind is the kind of reason why a patch does not give a session.
type FaultKind uint8

const (
	// FaultUnknown is the zero value, in no fault that CheckGiven returns.
	FaultUnknown FaultKind = iota
	// NotHeard is a want whose destination does not hear its source.
	NotHeard
	// AlsoHeard is a want whose destination hears another source.
	AlsoHeard
	// NotSilent is a destination that must hear nothing and hears something.
	NotSilent
	// Intrudes is a source at a destination that the session does not name and
	// that does not hear it at rest.
	Intrudes
	// Joined is two outputs joined.
	Joined
	// Howls is a loop that is not allowed.
	Howls
	// Parts is a crosspoint without those that are switched together with it.
	Parts
	// Crowds is a jack, or a port with leads, that holds more than one plug.
	Crowds
)

// Fault is one reason why a patch does not give a session.
type Fault struct {
	Kind FaultKind
	// Destination and Source are set where the fault is about one of each.
	Destination, Source name.Point
	// Points are the outputs joined, the ports of the loop, or the crowded jack.
	Points []name.Point
	// Key is the place of the want in the session's file, if it is one's.
	Key string
}

// String is the fault in a person's words.
func (f Fault) String() string {
	switch f.Kind {
	case NotHeard:
		return fmt.Sprintf("%s does not hear %s", f.Destination, f.Source)
	case AlsoHeard:
		return fmt.Sprintf("%s also hears %s", f.Destination, f.Source)
	case NotSilent:
		return fmt.Sprintf("%s must be silent and hears %s", f.Destination, f.Source)
	case Intrudes:
		return fmt.Sprintf("%s hears %s, which neither the session nor the rest patch puts there", f.Destination, f.Source)
	case Joined:
		return phrase.Put("outputs joined: {points}", "points", list(f.Points))
	case Howls:
		return phrase.Put("a loop through {points}", "points", list(f.Points))
	case Parts:
		return fmt.Sprintf("%s -> %s without the outputs that are switched together with it", f.Source, f.Destination)
	case Crowds:
		return fmt.Sprintf("%s has more than one plug, and takes one", list(f.Points))
	case FaultUnknown:
	}
	return "unknown fault"
}

func list(points []name.Point) string {
	texts := make([]string, len(points))
	for i, p := range points {
		texts[i] = p.String()
	}
	return strings.Join(texts, ", ")
}

// CheckGiven says what keeps a patch from giving a session; nothing if it is
// given. A session is given when every destination that it names hears exactly
// what it asks, every silent one hears nothing, every other gear input hears no
// source beyond what it hears with only the rest patch and the cords left on
// request, and there is no contention and no loop. Loudspeakers that are cut at
// their own switch may hear anything. It is judged in the room that the session
// makes of this one (see For), outputs of matrices that are switched together
// must be, and a jack or a port takes one plug.
//
// The order of the faults is that of the session, then of the studio.
func (r *Room) CheckGiven(s *session.Session, p patch.Patch, left []patch.Cord) []Fault {
	room := r.For(s, p)
	faults := room.Judge(s, left).Faults(room.Hear(p))
	for _, c := range room.Parted(p) {
		faults = append(faults, Fault{Kind: Parts, Destination: c.Output, Source: c.Input})
	}
	for _, at := range crowded(p) {
		faults = append(faults, Fault{Kind: Crowds, Points: []name.Point{at}})
	}
	return faults
}

// crowded are the jacks and ports with more than one plug, in the order of the
// second plugs.
func crowded(p patch.Patch) []name.Point {
	plugs := p.Plugs()
	for _, l := range p.Leads {
		plugs = append(plugs, l.Port)
	}
	var found []name.Point
	count := map[name.Point]int{}
	for _, at := range plugs {
		if count[at]++; count[at] == 2 {
			found = append(found, at)
		}
	}
	return found
}

// Judge knows a session and what may be heard beside it; it is for many states
// of one session, and safe for concurrent use.
type Judge struct {
	room    *Room
	session *session.Session
	others  []other
}

// other is an input that the session does not name, with what it may hear.
type other struct {
	input name.Point
	may   []name.Point
}

// Judge makes the judge of a session, for states of this room: For makes the one
// that has the session's guests.
func (r *Room) Judge(s *session.Session, left []patch.Cord) *Judge {
	j := &Judge{room: r, session: s}
	named := map[name.Point]bool{}
	for _, w := range s.Wants {
		named[w.Destination] = true
	}
	for _, p := range s.Silent {
		named[p] = true
	}
	rest := r.studio.Rest.Clone()
	rest.Cords = append(rest.Cords, left...)
	baseline := r.Hear(rest)
	for _, g := range r.studio.Gear {
		if slices.Contains(s.Cut, g.Name) {
			continue
		}
		for _, port := range g.Ports {
			if port.Direction == studio.Input && !named[port.Point] {
				j.others = append(j.others, other{port.Point, baseline.Hears(port.Point)})
			}
		}
	}
	return j
}

// Faults says what keeps a state from giving the session.
func (j *Judge) Faults(state *State) []Fault {
	var faults []Fault
	for _, w := range j.session.Wants {
		faults = append(faults, j.want(w, state)...)
	}
	for _, p := range j.session.Silent {
		for _, source := range state.Hears(p) {
			faults = append(faults, Fault{Kind: NotSilent, Destination: p, Source: source})
		}
	}
	for _, o := range j.others {
		for _, source := range state.Hears(o.input) {
			if !slices.Contains(o.may, source) {
				faults = append(faults, Fault{Kind: Intrudes, Destination: o.input, Source: source})
			}
		}
	}
	for _, c := range state.Contentions() {
		faults = append(faults, Fault{Kind: Joined, Points: c.Drivers})
	}
	for _, l := range state.Loops(j.session.Inside, j.session.Loops) {
		faults = append(faults, Fault{Kind: Howls, Points: l.Through})
	}
	return faults
}

func (j *Judge) want(w session.Want, state *State) []Fault {
	heard := state.Hears(w.Destination)
	var faults []Fault
	if !slices.Contains(heard, w.Source) {
		faults = append(faults, Fault{Kind: NotHeard, Destination: w.Destination, Source: w.Source, Key: w.Key})
	}
	for _, source := range heard {
		if source != w.Source {
			faults = append(faults, Fault{Kind: AlsoHeard, Destination: w.Destination, Source: source, Key: w.Key})
		}
	}
	return faults
}
