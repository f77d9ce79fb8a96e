package paper

import (
	"cmp"
	"maps"
	"slices"
	"strings"

	"bayhand/model/heard"
	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/scope"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/recall/words"
)

// cordList gives cords their marks, in the order in which they are plugged.
type cordList struct {
	words *words.Words
	room  *studio.Studio
	patch patch.Patch
	marks map[[2]name.Point]string
	// lines are the names of the session's lines over each cord.
	lines map[[2]name.Point][]string
	cords map[[2]name.Point]patch.Cord
}

// between are two ends in one order, whichever way they were plugged.
func between(ends []name.Point) (j [2]name.Point) {
	copy(j[:], ends)
	if len(ends) > 1 && j[1].Compare(j[0]) < 0 {
		j[0], j[1] = j[1], j[0]
	}
	return j
}

func newCordList(w *words.Words, in *studio.Studio, state *heard.State, s *session.Session, p patch.Patch) *cordList {
	c := &cordList{words: w, room: in, patch: p, marks: map[[2]name.Point]string{}, lines: map[[2]name.Point][]string{}, cords: map[[2]name.Point]patch.Cord{}}
	for _, cord := range p.Cords {
		c.cords[between(cord.Ends())] = cord
	}
	for _, want := range s.Wants {
		if want.Label == "" {
			continue
		}
		for _, way := range state.Ways(want.Destination) {
			if way.From == want.Source && way.To == want.Destination {
				c.follow(way, words.Clean(want.Label))
			}
		}
	}
	return c
}

func (c *cordList) follow(way heard.Way, label string) {
	for i, step := range way.Steps {
		if step.By != heard.ByCord && step.By != heard.ByLead || i == 0 {
			continue
		}
		at := between([]name.Point{way.Steps[i-1].Point, step.Point})
		if !slices.Contains(c.lines[at], label) {
			c.lines[at] = append(c.lines[at], label)
		}
	}
}

// mark is that of a joint; a new one where it has none yet.
func (c *cordList) mark(at [2]name.Point) string {
	if c.marks[at] == "" {
		c.marks[at] = letter(len(c.marks))
	}
	return c.marks[at]
}

// roomOf is the room in which something is plugged, by the first of its ends that is
// part of one.
func (c *cordList) roomOf(ends []name.Point) string {
	for _, p := range ends {
		if r := scope.RoomOf(c.room, p); r != "" {
			return words.Clean(r)
		}
	}
	return ""
}

// letter counts A to Z, then AA and on.
func letter(n int) string {
	text := string(rune('A' + n%26))
	if n >= 26 {
		text = letter(n/26-1) + text
	}
	return text
}

// cord words a cord, a lead or a dummy by its ends, in the order given.
func (c *cordList) cord(ends []name.Point, length measure.Length, poles int) *RecallCord {
	at := between(ends)
	made := &RecallCord{Mark: c.mark(at), Ends: ends, From: c.words.Point(ends[0]), Lines: strings.Join(c.lines[at], ", "), Room: c.roomOf(ends)}
	if len(ends) == 2 {
		made.To = c.words.Point(ends[1])
		made.Carries = c.words.Carries(ends[0], ends[1])
		made.Length = c.words.Cord(length, poles, ends)
	}
	if cord, ok := c.cords[at]; ok {
		made.Poles = cord.Poles
		if made.Length == "" {
			made.Length = c.words.Cord(cord.Length, cord.Poles, ends)
		}
	}
	return made
}

func (c *cordList) step(s plan.Step) RecallStep {
	l := c.words.Line(s)
	r := RecallStep{Number: l.ID, By: l.By, Verb: l.Verb, What: l.What(), Also: l.Action.Also}
	if len(l.Switching) > 0 {
		r.What = cmp.Or(l.By, l.Action.From) + ": " + strings.Join(l.Switching, ", ")
	}
	switch s.Do {
	case plan.Plug, plan.PlugLead, plan.PlugDummy:
		r.Cord = c.cord(s.Ends, s.Length, s.Poles)
	case plan.MoveEnd:
		r.Cord = c.cord(s.To, s.Length, s.Poles)
	case plan.Pull, plan.PullLead, plan.PullDummy, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
	}
	return r
}

// stays are what is in the patch and plugged by no step.
func (c *cordList) stays(steps []plan.Step) []RecallCord {
	plugged := map[[2]name.Point]bool{}
	for _, s := range steps {
		switch s.Do {
		case plan.Plug, plan.PlugLead, plan.PlugDummy:
			plugged[between(s.Ends)] = true
		case plan.MoveEnd:
			plugged[between(s.To)] = true
		case plan.Pull, plan.PullLead, plan.PullDummy, plan.Mute, plan.Unmute, plan.PhantomOff, plan.PhantomOn, plan.Switch, plan.ChangeOver:
		}
	}
	var all []RecallCord
	add := func(ends []name.Point, length measure.Length, poles int) {
		if !plugged[between(ends)] {
			all = append(all, *c.cord(c.flow(ends), length, poles))
		}
	}
	each(c.patch, add)
	return all
}

// flow are the ends of what is plugged, the source first.
func (c *cordList) flow(ends []name.Point) []name.Point {
	if len(ends) < 2 {
		return ends
	}
	from, to := c.words.Flow(ends[0], ends[1])
	return []name.Point{from, to}
}

// Beside is the sheet with what is plugged in rooms other than its own as well, which
// stays: known is all that is in, and own are the rooms of its session.
func (r Recall) Beside(s *studio.Studio, known patch.Patch, own []string) Recall {
	c := &cordList{words: words.In(s), room: s, marks: maps.Clone(r.marks), patch: known, cords: map[[2]name.Point]patch.Cord{}}
	for _, cord := range known.Cords {
		c.cords[between(cord.Ends())] = cord
	}
	r.Stays = slices.Clone(r.Stays)
	each(known, func(ends []name.Point, length measure.Length, poles int) {
		room := c.roomOf(ends)
		if r.marks[between(ends)] == "" && room != "" && !slices.Contains(own, room) {
			r.Stays = append(r.Stays, *c.cord(c.flow(ends), length, poles))
		}
	})
	return r
}

// each gives all that is plugged, by its ends.
func each(p patch.Patch, take func(ends []name.Point, length measure.Length, poles int)) {
	for _, cord := range p.Cords {
		take(cord.Ends(), cord.Length, cord.Poles)
	}
	for _, lead := range p.Leads {
		take([]name.Point{lead.Port, lead.Jack}, 0, 0)
	}
	for _, dummy := range p.Dummies {
		take([]name.Point{dummy}, 0, 0)
	}
}
