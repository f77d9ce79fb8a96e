// Package effect says what a change of the patch does: which inputs hear something
// else, whether outputs are joined, whether a signal can go round, what a loudspeaker
// hears that it did not, and what a check would say then and does not say now.
//
// An effect is what follows from metal. That it is so, nobody has measured.
package effect

import (
	"slices"
	"strings"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// Effect is what one patch does that another does not. Its lists are never nil.
type Effect struct {
	Changes []Heard `json:"changes"`
	// Joins are outputs that are joined, Loops the ports of loops that are closed.
	Joins [][]name.Point `json:"joins"`
	Loops [][]name.Point `json:"loops"`
	// Loudspeakers are the inputs of loudspeakers that hear a source they did not.
	Loudspeakers []name.Point `json:"loudspeakers"`
	// Cautions are what check says of the one patch and not of the other.
	Cautions []Caution `json:"cautions"`
}

// Heard is an input that hears something else.
type Heard struct {
	Destination name.Point   `json:"destination"`
	Hears       []name.Point `json:"hears"` // by the patch before
	Would       []name.Point `json:"would"` // by the patch after
}

// Caution is a finding of check.
type Caution struct {
	Code     string `json:"code"`
	Severity string `json:"severity"`
	Message  string `json:"message"`
	Hint     string `json:"hint"`
}

// Of is what comes of going from one patch to another, in a room with its guests and
// a session's loops. It hears the room four times and checks it twice; the state is
// that of the patch after.
func Of(room *heard.Room, in *session.Session, now, then patch.Patch) (Effect, *heard.State) {
	before, after := room.Hear(now), room.Hear(then)
	e := Effect{Changes: []Heard{}, Loudspeakers: []name.Point{}}
	for _, c := range before.Changes(after) {
		e.Changes = append(e.Changes, Heard{c.Input, notNil(c.Was), notNil(c.Is)})
		more := slices.ContainsFunc(c.Is, func(p name.Point) bool { return !slices.Contains(c.Was, p) })
		if more && isLoudspeaker(room.Studio(), c.Input) {
			e.Loudspeakers = append(e.Loudspeakers, c.Input)
		}
	}
	e.Joins = fresh(drivers(before), drivers(after))
	e.Loops = fresh(rounds(before, in), rounds(after, in))
	e.Cautions = cautions(room, now, then)
	return e, after
}

// Silent are the inputs that hear nothing any more.
func (e Effect) Silent() []name.Point {
	var all []name.Point
	for _, c := range e.Changes {
		if len(c.Would) == 0 {
			all = append(all, c.Destination)
		}
	}
	return all
}

func isLoudspeaker(s *studio.Studio, p name.Point) bool {
	g := s.GearNamed(p.Owner)
	return g != nil && g.Role == studio.Loudspeaker
}

func notNil(points []name.Point) []name.Point {
	if points == nil {
		return []name.Point{}
	}
	return points
}

// drivers are the groups of outputs that are joined.
func drivers(s *heard.State) [][]name.Point {
	var all [][]name.Point
	for _, c := range s.Contentions() {
		all = append(all, c.Drivers)
	}
	return all
}

func rounds(s *heard.State, of *session.Session) [][]name.Point {
	var all [][]name.Point
	for _, l := range s.Loops(of.Inside, of.Loops) {
		all = append(all, l.Through)
	}
	return all
}

// fresh are the groups that were not there before.
func fresh(before, after [][]name.Point) [][]name.Point {
	was := func(g []name.Point) bool {
		return slices.ContainsFunc(before, func(b []name.Point) bool { return slices.Equal(b, g) })
	}
	return append([][]name.Point{}, slices.DeleteFunc(after, was)...)
}

// cautions are what check would say of a room whose rest patch were like that, and does not
// say now; of the patch, and not of the rest patch. What is joined or goes round is told by itself.
func cautions(room *heard.Room, now, then patch.Patch) []Caution {
	said := func(p patch.Patch) []check.Finding {
		s := *room.Studio()
		s.Rest = p
		left, _ := check.Accept(check.Studio(heard.NewRoom(&s), text.Places{}), s.Accepted)
		return left
	}
	before := said(now)
	all := []Caution{}
	for _, f := range said(then) {
		if !check.Said(before, f) && !slices.Contains([]string{"outputs-joined", "loop"}, f.Code) {
			all = append(all, Caution{f.Code, f.Severity, strings.ReplaceAll(f.Message, "in the rest patch", "with this patch"), f.Hint})
		}
	}
	return all
}
