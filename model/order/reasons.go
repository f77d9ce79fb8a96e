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
	if d, s, ok := firstMissing(before, after); ok {
		return phrase.Put(k.facts.removes(), "source", s.String(), "destination", d.String())
	}
	if d, s, ok := firstMissing(after, before); ok {
		return phrase.Put("restores {source} -> {destination}", "source", s.String(), "destination", d.String())
	}
	return "not needed"
}

// removes says of what is removed that the session, or the patch gone back to, has it not.
func (f *facts) removes() string {
	if f.earlier {
		return "removes {source} -> {destination} (not in the earlier patch)"
	}
	if len(f.session.Wants) == 0 {
		return "removes {source} -> {destination} (not in the rest patch)"
	}
	return "removes {source} -> {destination} (not in this session)"
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
	if d, s, ok := firstMissing(without, with); ok {
		return phrase.Put("blocks {source} -> {destination}", "source", s.String(), "destination", d.String())
	}
	if d, s, ok := firstMissing(with, without); ok {
		return s.String() + " -> " + d.String()
	}
	if k.facts.earlier {
		return "part of the earlier patch"
	}
	return "part of the rest patch"
}

// firstMissing finds the first destination that hears a source in one state and not
// in another.
func firstMissing(with, without []heardAt) (destination, source name.Point, ok bool) {
	for _, h := range with {
		var had []name.Point
		if at := slices.IndexFunc(without, func(o heardAt) bool { return o.in == h.in }); at >= 0 {
			had = without[at].sources
		}
		for _, s := range h.sources {
			if !slices.Contains(had, s) {
				return h.in, s, true
			}
		}
	}
	return name.Point{}, name.Point{}, false
}

// called is gear as people read it.
func called(g studio.Gear) string {
	if g.Label != "" {
		return g.Label
	}
	return g.Name
}

// whySwitch says it of the first want that a matrix carries, and how many others
// there are.
func (a *action) whySwitch() string {
	switch others := len(a.wants) - 1; {
	case others < 0:
		return a.because
	case others == 0:
		return a.wants[0]
	default:
		return phrase.Count(others, "{connection}, and one more", "{connection}, and {n} more", "connection", a.wants[0])
	}
}

func (f *facts) matrixCalled(matrix string) string {
	if m := f.studio.MatrixNamed(matrix); m != nil && m.Label != "" {
		return m.Label
	}
	return matrix
}
