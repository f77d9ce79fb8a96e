package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/studio"
)

// What is intended has parts: the session, or rest, that was recalled last, and the
// sessions that other rooms are in meanwhile. A part has a plan of its own, which is
// made again without those of the others.

// main is the part that was recalled last; the others are called by their sessions.
const main = ""

// parts are those of an intent.
func (in Intent) parts() []string {
	all := []string{main}
	for _, h := range in.Others {
		all = append(all, h.Session)
	}
	return all
}

// other is the number of a session among those beside the one that was recalled last;
// -1 for that one.
func (in Intent) other(session string) int {
	return slices.IndexFunc(in.Others, func(h Held) bool { return h.Session == session })
}

func (in Intent) meaningOf(session string) string {
	if i := in.other(session); i >= 0 {
		return in.Others[i].Meaning
	}
	return in.Meaning
}

func (in Intent) optionsOf(session string) RecallOptions {
	if i := in.other(session); i >= 0 {
		return in.Others[i].Options
	}
	return in.Options
}

// called is a part in words.
func (in Intent) called(session string) string {
	if session == main {
		return in.title()
	}
	return session
}

// with is an intent with one of its sessions as another reading has it.
func (in Intent) with(session string, fresh Intent) Intent {
	i := in.other(session)
	if i < 0 {
		in.Wanted, in.Meaning = fresh.Wanted, fresh.Meaning
		return in
	}
	in.Others = slices.Clone(in.Others)
	in.Others[i] = fresh.Others[i]
	return in
}

// without is an intent without some of the sessions that other rooms are in.
func (in Intent) without(sessions []string) Intent {
	if len(sessions) > 0 {
		in.Others = slices.DeleteFunc(slices.Clone(in.Others), func(h Held) bool { return slices.Contains(sessions, h.Session) })
	}
	return in
}

// part is what a plan for a session of an intent is made for.
func (w planning) part(in Intent, session string) part {
	i := in.other(session)
	if i < 0 {
		return w.main(in)
	}
	h := in.Others[i]
	return part{wanted: h.Wanted, options: h.Options, rooms: h.Rooms}
}

// planFor asks the planner for the way to a session of an intent.
func (w answering) planFor(in Intent, session string) (*plan.Plan, question, error) {
	if in.other(session) < 0 {
		return w.plan(in)
	}
	of := w.part(in, session)
	p, q, err := w.planOf(in, of)
	if err == nil {
		p, err = w.lacking(in, of, p)
	}
	return p, q, err
}

// outsOf are the outputs of a matrix.
func outsOf(m studio.Matrix) []name.Point {
	var all []name.Point
	for n := 1; n <= m.Outputs; n++ {
		all = append(all, m.Out(n))
	}
	return all
}
