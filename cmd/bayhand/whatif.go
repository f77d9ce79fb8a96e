package main

import (
	"slices"

	"bayhand/model/check"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/text"
)

// dummyWord asks for a plug without a cord.
const dummyWord = "dummy"

// whatIf is what one more plug would do.
type whatIf struct {
	Do string `json:"do"` // plug, plug-lead or plug-dummy
	// Ends are where it would be plugged.
	Ends    []name.Point `json:"ends"`
	Changes []ifHeard    `json:"changes"`
	// Joins are outputs that it would join, Loops the ports of loops that it would
	// close.
	Joins [][]name.Point `json:"joins"`
	Loops [][]name.Point `json:"loops"`
	// Cautions are what check would say of the patch then, and does not now.
	Cautions []ifCaution `json:"cautions"`

	after *heard.State
	patch patch.Patch
}

// ifHeard is an input that would hear something else.
type ifHeard struct {
	Destination name.Point   `json:"destination"`
	Hears       []name.Point `json:"hears"` // now
	Would       []name.Point `json:"would"`
}

type ifCaution struct {
	Code     string `json:"code"`
	Severity string `json:"severity"`
	Message  string `json:"message"`
	Hint     string `json:"hint"`
}

// whatIf plugs one thing more, on paper.
func newWhatIf(room *heard.Room, of *session.Session, now patch.Patch, at name.Point, other string) (*whatIf, error) {
	w, then, err := plugged(room, now, at, other)
	if err != nil {
		return nil, err
	}
	before := room.Hear(now)
	w.after, w.patch = room.Hear(then), then
	for _, c := range before.Changes(w.after) {
		w.Changes = append(w.Changes, ifHeard{c.Input, notNil(c.Was), notNil(c.Is)})
	}
	w.Joins = fresh(drivers(before), drivers(w.after))
	w.Loops = fresh(rounds(before, of), rounds(w.after, of))
	w.Cautions = cautions(room, now, then)
	return w, nil
}

// plugged is a patch with one thing more in it: a dummy, a lead from a port, or a
// cord between two jacks.
func plugged(room *heard.Room, now patch.Patch, at name.Point, other string) (*whatIf, patch.Patch, error) {
	then := now.Clone()
	w := &whatIf{Do: "plug-dummy", Ends: []name.Point{at}, Changes: []ifHeard{}}
	if other != dummyWord {
		to, err := pointIn(room.Studio(), other)
		if err != nil {
			return nil, then, err
		}
		if isPort(room, to) {
			at, to = to, at
		}
		w.Do, w.Ends = "plug", []name.Point{at, to}
		if isPort(room, at) {
			w.Do = "plug-lead"
		}
	}
	if err := w.fits(room, now); err != nil {
		return nil, then, err
	}
	switch w.Do {
	case "plug-dummy":
		then.Dummies = append(then.Dummies, w.Ends[0])
	case "plug-lead":
		then.Leads = append(then.Leads, patch.Lead{Port: w.Ends[0], Jack: w.Ends[1]})
	default:
		then.Cords = append(then.Cords, patch.Cord{A: w.Ends[0], B: w.Ends[1]})
	}
	return w, then, nil
}

// fits says whether the ends take what would be plugged there.
func (w *whatIf) fits(room *heard.Room, now patch.Patch) error {
	taken := now.Plugs()
	for _, l := range now.Leads {
		taken = append(taken, l.Port)
	}
	for i, p := range w.Ends {
		port := w.Do == "plug-lead" && i == 0
		switch {
		case port && wired(room, p):
			return wrongUsage("%s is wired at the rear, so no lead goes in; name the jack that it is wired to", p)
		case !port && !isJack(room, p) && (w.Do != "plug-lead" || !isSocket(room, p)):
			return wrongUsage("%s takes no plug of a %s; a cord or a dummy goes into jacks of bays, a lead from a port that is not wired into a jack or a socket of a box", p, thing(w.Do))
		case slices.Contains(taken, p):
			return wrongUsage("%s holds a plug already; it takes one", p)
		case slices.Contains(w.Ends[:i], p):
			return wrongUsage("both ends would be in %s; it takes one plug", p)
		}
	}
	return nil
}

func isPort(room *heard.Room, p name.Point) bool {
	return slices.ContainsFunc(room.Studio().Gear, func(g studio.Gear) bool { return g.Name == p.Owner })
}

func isJack(room *heard.Room, p name.Point) bool {
	return slices.ContainsFunc(room.Studio().Bays, func(b studio.Bay) bool { return b.Name == p.Owner })
}

func isSocket(room *heard.Room, p name.Point) bool {
	return slices.ContainsFunc(room.Studio().Boxes, func(b studio.Box) bool { return b.Name == p.Owner })
}

func wired(room *heard.Room, p name.Point) bool {
	return slices.ContainsFunc(room.Studio().Wires, func(w studio.Wire) bool { return w.From == p || w.To == p })
}

func thing(do string) string {
	switch do {
	case "plug-dummy":
		return "dummy"
	case "plug-lead":
		return "lead"
	}
	return "cord"
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

// cautions are what check would say of a room that stands like that, and does not
// say now. What is joined or goes round is told by itself.
func cautions(room *heard.Room, now, then patch.Patch) []ifCaution {
	said := func(p patch.Patch) []check.Finding {
		s := *room.Studio()
		s.Rest = p
		left, _ := check.Accept(check.Studio(heard.NewRoom(&s), text.Places{}), s.Accepted)
		return left
	}
	before := said(now)
	all := []ifCaution{}
	for _, f := range said(then) {
		if !check.Said(before, f) && !slices.Contains([]string{"outputs-joined", "loop"}, f.Code) {
			all = append(all, ifCaution{f.Code, f.Severity, f.Message, f.Hint})
		}
	}
	return all
}
