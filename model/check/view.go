package check

import (
	"strings"

	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// view is a studio laid out for the rules.
type view struct {
	room   *heard.Room
	studio *studio.Studio
	// rest is the room between sessions.
	rest  *heard.State
	ports map[name.Point]studio.Port
	bays  map[string]studio.Bay
	// cables are what is soldered or screwed to a point, wires and ties.
	cables map[name.Point][]cable
	// met are the meetings at rest, once somebody has asked for them.
	met []meeting
	// arrivals are the levels at rest, once somebody has asked for them.
	arrivals []arrival
	// ofSessions are patches that sessions keep.
	ofSessions []patch.Patch
}

// cable is one end of a permanent cable.
type cable struct {
	far name.Point
	// key is its line of the file.
	key string
	tie bool
}

func newView(room *heard.Room) *view {
	s := room.Studio()
	v := &view{
		room:   room,
		studio: s,
		rest:   room.Hear(s.Rest),
		ports:  s.PortsByPoint(),
		bays:   map[string]studio.Bay{},
		cables: map[name.Point][]cable{},
	}
	for _, b := range s.Bays {
		v.bays[b.Name] = b
	}
	for _, w := range s.Wires {
		v.lay(w.From, w.To, orElse(w.Key, "wiring"), false)
	}
	for _, t := range s.Ties {
		v.lay(t.A, t.B, orElse(t.Key, "ties"), true)
	}
	return v
}

func (v *view) lay(a, b name.Point, key string, tie bool) {
	v.cables[a] = append(v.cables[a], cable{b, key, tie})
	v.cables[b] = append(v.cables[b], cable{a, key, tie})
}

func orElse(key, other string) string {
	if key == "" {
		return other
	}
	return key
}

// isJack says whether a point is a jack of a bay.
func (v *view) isJack(p name.Point) bool {
	_, ok := v.bays[p.Owner]
	return ok
}

// wired are the points that wires lead to from a point.
func (v *view) wired(p name.Point) []cable {
	var wires []cable
	for _, c := range v.cables[p] {
		if !c.tie {
			wires = append(wires, c)
		}
	}
	return wires
}

// jacks are those that a port is wired to.
func (v *view) jacks(port name.Point) []name.Point {
	var jacks []name.Point
	for _, c := range v.wired(port) {
		if v.isJack(c.far) {
			jacks = append(jacks, c.far)
		}
	}
	return jacks
}

// output says whether a point is where a signal comes from: a gear output, or
// the output of a matrix.
func (v *view) output(p name.Point) bool {
	if port, ok := v.ports[p]; ok {
		return port.Direction == studio.Output
	}
	return !v.isJack(p) && p.Stem == "out"
}

// mode is that of a jack's pair.
func (v *view) mode(jack name.Point) studio.Mode {
	modes := v.bays[jack.Owner].Modes
	if jack.Number < 1 || jack.Number > len(modes) {
		return studio.ModeUnknown
	}
	return modes[jack.Number-1]
}

// normalled says whether a mode has a normal that plugs can break.
func normalled(m studio.Mode) bool {
	switch m {
	case studio.FullNormal, studio.HalfNormal, studio.HalfNormalTop:
		return true
	case studio.Isolated, studio.Parallel, studio.ModeUnknown:
	}
	return false
}

// sessionView is a session laid out for the rules.
type sessionView struct {
	*view
	session *session.Session
	// kept is the room with the session's own last patch; nil without one.
	kept *heard.State
}

func newSessionView(room *heard.Room, s *session.Session) *sessionView {
	room = room.For(s) // with its guests, and what it selects
	v := &sessionView{view: newView(room), session: s}
	if s.Patch != nil {
		v.kept = room.Hear(*s.Patch)
	}
	return v
}

// onRest runs a rule on the rest patch of a studio.
func onRest(rule func(v *view, p patch.Patch, key string) []violation) func(*view) []violation {
	return func(v *view) []violation { return rule(v, v.studio.Rest, "rest") }
}

// onKept runs a rule on the patch that a session keeps.
func onKept(rule func(v *view, p patch.Patch, key string) []violation) func(*sessionView) []violation {
	return func(v *sessionView) []violation {
		if v.session.Patch == nil {
			return nil
		}
		return rule(v.view, *v.session.Patch, "patch")
	}
}

// folded writes points as short as files have them.
func folded(points []name.Point) string {
	return strings.Join(name.Fold(points), ", ")
}
