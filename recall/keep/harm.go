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
	// since is when each plug and each crosspoint came, by its jack, port or output.
	since map[name.Point]time.Time
}

func harmIn(s *studio.Studio, m Memory) harmOf {
	in := m.Known.Patch()
	return harmOf{s, m.Intent.merged(s), leadsOnly(m.Here(s), in.Leads), m.Intent.StillInside(), in, m.Known.since()}
}

// since is when each plug of a cord or cable and each crosspoint came to be known.
func (k Known) since() map[name.Point]time.Time {
	at := map[name.Point]time.Time{}
	for _, c := range k.Cords {
		for _, end := range c.Ends() {
			at[end] = c.Since
		}
	}
	for _, l := range k.Leads {
		at[l.Jack] = l.Since
	}
	for _, x := range k.Crosspoints {
		at[x.Output] = x.Since
	}
	return at
}

// came orders parts of the patch by when they came, the oldest first.
func (of harmOf) came(a, b patch.Patch) int {
	latest := func(p patch.Patch) (last time.Time) {
		points := p.Plugs()
		for _, x := range p.Crosspoints {
			points = append(points, x.Output)
		}
		for _, point := range points {
			if at := of.since[point]; at.After(last) {
				last = at
			}
		}
		return last
	}
	return latest(a).Compare(latest(b))
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
		all = append(all, Problem{Code: "contention", Severity: "error", Message: joining.text(g, capture.Parting(room, of.in, g, of.came))})
	}
	for _, g := range e.Loops {
		judged := &session.Session{Inside: of.inside, Loops: in.Loops}
		all = append(all, Problem{Code: "feedback", Severity: "error", Message: looping.text(g, capture.Opening(room, judged, of.in, g, of.came))})
	}
	return all
}

// remedied are the sentences about a harm, by what must go for it to end.
type remedied struct {
	// one is for one plug, several for more than that with what is switched, switched for
	// crosspoints alone, and unknown where nothing that may go was found.
	one, several, switched, unknown string
}

var (
	joining = remedied{
		one:      "Outputs are joined, which can damage them: {places}. Unplug {items}, and report it.",
		several:  "Outputs are joined, which can damage them: {places}. All of this must go, and be reported: {items}.",
		switched: "Outputs are joined, which can damage them: {places}. Open {items}.",
		unknown:  "Outputs are joined, which can damage them: {places}. Unplug one of them, and report it.",
	}
	looping = remedied{
		one:      "Feedback: a signal can go round through {places}. Turn down, unplug {items}, and report it.",
		several:  "Feedback: a signal can go round through {places}. Turn down. All of this must go, and be reported: {items}.",
		switched: "Feedback: a signal can go round through {places}. Turn down, and open {items}.",
		unknown:  "Feedback: a signal can go round through {places}. Turn down, and open the loop.",
	}
)

// text says where a harm is, and all that must go for it to end.
func (r remedied) text(places []name.Point, by patch.Patch) string {
	sentence := r.one
	switch plugs := len(by.Cords) + len(by.Leads); {
	case plugs+len(by.Crosspoints) == 0:
		sentence = r.unknown
	case plugs == 0:
		sentence = r.switched
	case plugs+len(by.Crosspoints) > 1:
		sentence = r.several
	}
	return phrase.Put(sentence, "places", listed(places), "items", capture.Items(by))
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
