package text

import (
	"slices"
	"strings"

	"bayhand/model/name"
	"bayhand/model/session"
	"bayhand/model/studio"
)

// maxLikes bounds how far like leads on, which an opener that knows one file by
// several names would never end.
const maxLikes = 16

// beneath reads the session that s is like; nil if it cannot be read.
func (f *family) beneath(s *sessionReader, like *node, before []string, over head) *sessionReader {
	if f.open == nil {
		s.fault(like, "like", "", "the session %s cannot be read here", quoteText(like.text))
		return nil
	}
	if len(before) > maxLikes {
		s.fault(like, "like", "write a session of its own", "like leads on through more than %d sessions here", maxLikes)
		return nil
	}
	file, src, err := f.open(like.text)
	if err != nil {
		s.fault(like, "like", "", "the session %s cannot be read: %v", quoteText(like.text), err)
		return nil
	}
	if slices.Contains(before, file) {
		round := append(before[slices.Index(before, file):], file)
		s.fault(like, "like", "take one of them out", "like goes round in a circle: %s", strings.Join(round, " -> "))
		return nil
	}
	base := f.read(file, src, before, over)
	s.problems = append(s.problems, base.told()...)
	for key, place := range base.places.at {
		s.places.set(strings.TrimSuffix("like."+key, "."), place)
	}
	return base
}

// merge puts a base under what the file itself says. Lines of the file replace
// the base's whole way to the same destination; lists of another kind are replaced
// as a whole, gear by gear for programs and setting by setting for settings.
func (s *sessionReader) merge(base *session.Session) {
	to := s.session
	own := to.Wants
	to.Wants = nil
	chains := 0
	gone := s.replaced(base.Wants)
	for i, w := range base.Wants {
		if gone[i] {
			continue
		}
		w.Key = "like." + w.Key
		chains = max(chains, w.Chain+1)
		to.Wants = append(to.Wants, w)
	}
	for _, w := range own {
		w.Chain += chains
		to.Wants = append(to.Wants, w)
	}
	to.Silent = append(slices.DeleteFunc(base.Silent, func(p name.Point) bool { return s.wanted[p] != nil }), to.Silent...)
	to.Selections = s.mergeSelections(base.Selections, to.Selections)
	to.Inside = mergePasses(base.Inside, to.Inside)
	to.Programs = mergeByGear(base.Programs, to.Programs, func(p session.Program) string { return p.Gear })
	to.Settings = mergeSettings(base.Settings, to.Settings)
	for i := range base.Pictures {
		base.Pictures[i].Key = "like." + base.Pictures[i].Key
	}
	to.Pictures = mergeByGear(base.Pictures, to.Pictures, func(p session.Picture) string { return p.Gear })
	if !s.given["cut"] {
		to.Cut = base.Cut
	}
	if !s.given["allow"] {
		to.Loops = base.Loops
	}
	if !s.given["notes"] {
		to.Notes = base.Notes
	}
}

// replaced says which of a base's wants the file does away with: those of the
// destinations that it names itself, and on the way there whatever leads to nothing
// else any more. A box that a split still needs stays.
func (s *sessionReader) replaced(base []session.Want) []bool {
	gone := make([]bool, len(base))
	for i, w := range base {
		gone[i] = s.wanted[w.Destination] != nil
	}
	deepest := 0
	for _, w := range base {
		deepest = max(deepest, w.Hop)
	}
	for hop := deepest - 1; hop >= 0; hop-- {
		for i, w := range base {
			if w.Hop == hop && !gone[i] {
				gone[i] = allGone(onward(base, w), gone)
			}
		}
	}
	return gone
}

// onward are the wants of the same chain that go on from where a want ends.
func onward(base []session.Want, from session.Want) []int {
	var next []int
	for i, w := range base {
		if w.Chain == from.Chain && w.Keep == from.Keep && w.Hop == from.Hop+1 && w.Source.Owner == from.Destination.Owner {
			next = append(next, i)
		}
	}
	return next
}

// allGone says whether there are some, and none of them is left.
func allGone(some []int, gone []bool) bool {
	return len(some) > 0 && !slices.ContainsFunc(some, func(i int) bool { return !gone[i] })
}

// mergePasses: a pass to an output replaces the base's passes to that output.
func mergePasses(base, own []studio.Pass) []studio.Pass {
	replaced := map[name.Point]bool{}
	for _, p := range own {
		replaced[p.Out] = true
	}
	return append(slices.DeleteFunc(base, func(p studio.Pass) bool { return replaced[p.Out] }), own...)
}

func mergeByGear[T any](base, own []T, gear func(T) string) []T {
	replaced := map[string]bool{}
	for _, v := range own {
		replaced[gear(v)] = true
	}
	return append(slices.DeleteFunc(base, func(v T) bool { return replaced[gear(v)] }), own...)
}

func mergeSettings(base, own []session.Settings) []session.Settings {
	knobs := map[string][]session.Setting{}
	for _, b := range base {
		knobs[b.Gear] = b.Values
	}
	for i, o := range own {
		own[i].Values = mergeByGear(slices.Clone(knobs[o.Gear]), o.Values, func(k session.Setting) string { return k.Name })
	}
	return mergeByGear(base, own, func(v session.Settings) string { return v.Gear })
}
