package order

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/phrase"
	"bayhand/model/studio"
)

// whyOut says why something is taken out.
func (k *ranker) whyOut(a *action) string {
	for _, j := range a.touched {
		if k.targetPlugs[j] {
			return phrase.Put("frees {jack}", "jack", j.String())
		}
	}
	s, at := k.rules.now, a.surroundings()
	before := s.heardFrom(at)
	s.do(a)
	after := s.heardFrom(at)
	s.undo(a)
	if lost := missing(before, after); len(lost) > 0 {
		a.removes = lost
		return k.facts.whyRemoved(lost)
	}
	if back := missing(after, before); len(back) > 0 {
		return phrase.Put("restores {connections}", "connections", connections(back))
	}
	return "not needed"
}

// whyRemoved says of what is removed that the session, or the patch gone back to, has it not.
func (f *facts) whyRemoved(lost []hearer) string {
	sentence := "removes {connections} (not in this session)"
	switch {
	case f.earlier:
		sentence = "removes {connections} (not in the earlier patch)"
	case len(f.session.Wants) == 0:
		sentence = "removes {connections} (not in the rest patch)"
	}
	return phrase.Put(sentence, "connections", connections(lost))
}

// whyIn says what a plug that carries nothing that is asked for is for: what
// would be without it.
func (k *ranker) whyIn(a *action) string {
	s, at := k.rules.new, a.surroundings()
	with := s.heardFrom(at)
	s.undo(a)
	without, joined := s.heardFrom(at), s.contentionAt(at)
	s.do(a)
	if len(joined) > 0 {
		return phrase.Put("keeps outputs {output} and {other} apart", "output", joined[0].String(), "other", joined[1].String())
	}
	if blocked := missing(without, with); len(blocked) > 0 {
		return phrase.Put("blocks {connections}", "connections", connections(blocked))
	}
	if carried := missing(with, without); len(carried) > 0 {
		a.carries = carried
		return connections(carried)
	}
	if k.facts.earlier {
		return "part of the earlier patch"
	}
	return "part of the rest patch"
}

// missing are the inputs that hear a source in one state and not in another, in the
// order of the first, each with that source.
func missing(with, without []heardAt) []hearer {
	var all []hearer
	for _, h := range with {
		var had []name.Point
		if at := slices.IndexFunc(without, func(o heardAt) bool { return o.in == h.in }); at >= 0 {
			had = without[at].sources
		}
		for _, s := range h.sources {
			if !slices.Contains(had, s) {
				all = append(all, hearer{h.in, s})
			}
		}
	}
	return all
}

// connections names the first of some, and how many others there are.
func connections(of []hearer) string {
	return andMore(phrase.Put("{source} -> {destination}", "source", of[0].source.String(), "destination", of[0].in.String()), len(of)-1)
}

// andMore is a connection, and how many others there are.
func andMore(connection string, others int) string {
	if others == 0 {
		return connection
	}
	return phrase.Count(others, "{connection}, and one more", "{connection}, and {n} more", "connection", connection)
}

// called is gear as people read it.
func called(g studio.Gear) string {
	if g.Label != "" {
		return g.Label
	}
	return g.Name
}

// whySwitch says it of the first want that a matrix carries, else of the first
// connection that it removes or brings, and how many others there are.
func (f *facts) whySwitch(a *action) string {
	switch {
	case len(a.wants) > 0:
		return andMore(a.wants[0], len(a.wants)-1)
	case len(a.removes) > 0:
		return f.whyRemoved(a.removes)
	case len(a.carries) > 0:
		return connections(a.carries)
	}
	return a.because
}

func (f *facts) matrixCalled(matrix string) string {
	if m := f.studio.MatrixNamed(matrix); m != nil && m.Label != "" {
		return m.Label
	}
	return matrix
}
