package keep

import (
	"reflect"
	"time"

	"bayhand/model/capture"
	"bayhand/model/effect"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/phrase"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// What is plugged may do harm as long as it is in, whoever plugged it. The answer to the
// act says so once; the status says it until it is over.

// harm is what the patch that is known was found to do. It is found again only when what it
// depends on has changed.
type harm struct {
	of       harmOf
	problems []Problem
}

// harmOf is what that depends on. Nobody changes any of it.
type harmOf struct {
	studio *studio.Studio
	wanted *session.Session
	guests []Guest
	inside []studio.Pass
	in     patch.Patch
}

func harmIn(s *studio.Studio, m Memory) harmOf {
	in := m.Known.Patch()
	return harmOf{s, m.Intent.merged(s), leadsOnly(m.Here(s), in.Leads), m.Intent.StillInside(), in}
}

// current is that of a memory, by the metal of the studio. It takes time linear in the studio
// to hear a patch that is new, and longer where guests are in.
func (h *harm) current(room *heard.Room, s *studio.Studio, m Memory, at time.Time) []Problem {
	if room == nil || s == nil {
		return nil
	}
	of := harmIn(s, m)
	if reflect.DeepEqual(h.of, of) {
		return h.problems
	}
	fresh := of.problems(room)
	for i := range fresh {
		fresh[i].Since = at
		for _, p := range h.problems {
			if p.Message == fresh[i].Message {
				fresh[i].Since = p.Since
			}
		}
	}
	h.of, h.problems = of, fresh
	return fresh
}

// problems are what that does, in a room of the studio alone.
func (of harmOf) problems(room *heard.Room) []Problem {
	in := session.Session{}
	if of.wanted != nil {
		in = *of.wanted
	}
	in.Guests = append(Gear(of.guests), in.Guests...)
	room = room.For(&in, of.in)
	e := effect.Standing(room, room.Hear(of.in), of.inside, in.Loops)
	var all []Problem
	for _, g := range e.Joins {
		all = append(all, Problem{Code: "contention", Severity: "error", Message: joinedText(g, capture.Parting(room, of.in, g))})
	}
	for _, g := range e.Loops {
		all = append(all, Problem{Code: "feedback", Severity: "error",
			Message: phrase.Put("Feedback: a signal can go round through {places}. Turn down, and open the loop.", "places", listed(g))})
	}
	return all
}

// joinedText says which outputs are joined, and all that must go for them to be apart.
func joinedText(outputs []name.Point, by patch.Patch) string {
	sentence := "Outputs are joined, which can damage them: {outputs}. Unplug {items}, and report it."
	switch plugs := len(by.Cords) + len(by.Leads); {
	case plugs+len(by.Crosspoints) == 0:
		sentence = "Outputs are joined, which can damage them: {outputs}. Unplug one of them, and report it."
	case plugs == 0:
		sentence = "Outputs are joined, which can damage them: {outputs}. Open {items}."
	case plugs+len(by.Crosspoints) > 1:
		sentence = "Outputs are joined, which can damage them: {outputs}. All of this must go, and be reported: {items}."
	}
	return phrase.Put(sentence, "outputs", listed(outputs), "items", capture.Items(by))
}

// Harms says whether a problem does harm as long as it is so.
func (p Problem) Harms() bool { return p.Code == "contention" || p.Code == "feedback" }

// listed are points as files name them, one after the other.
func listed(points []name.Point) string {
	var all []string
	for _, p := range points {
		all = append(all, p.String())
	}
	return some(all)
}
