package stock

import (
	"cmp"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/matching"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// addPresent finds what kind each present cord is: one of which not all are in use yet,
// with as many poles as the patch says where there is such a kind. A cord for which none
// is left is one more of a kind that it could be, or makes a kind of its own.
func (s *Stock) addPresent() {
	poles := true // no place that fits becomes one that does not
	kinds := matching.New(slices.Clone(s.Counts), func(c, k int) bool {
		one := s.said[s.present[c]]
		return s.is(k, one.Length, s.present[c]) && (!poles || s.samePoles(k, one))
	})
	rest := slices.DeleteFunc(s.saidFirst(), kinds.Add)
	poles = false
	rest = slices.DeleteFunc(rest, kinds.Add)
	s.Old = make([]int, len(s.present))
	for k := range s.Kinds {
		for _, c := range kinds.At(k) {
			s.Old[c] = k
		}
	}
	for _, c := range rest {
		s.Old[c] = s.oneMore(c)
	}
}

// saidFirst are the present cords by number: one whose length nobody said is the shortest
// that reaches, of those that the others leave.
func (s *Stock) saidFirst() []int {
	var said, unsaid []int
	for c, ends := range s.present {
		if s.LengthOf(ends) != 0 {
			said = append(said, c)
		} else {
			unsaid = append(unsaid, c)
		}
	}
	return append(said, unsaid...)
}

// is says whether a cord between two jacks can be of a kind: of one that reaches, where
// its length is 0, else of one of its length, however far it has to reach.
func (s *Stock) is(kind int, length measure.Length, ends [2]int) bool {
	if length == 0 {
		return s.Goes(kind, ends)
	}
	other := studio.JackUnknown
	if ends[1] != graph.None {
		other = s.jacks[ends[1]].Kind
	}
	return s.Kinds[kind].Length == length && layout.Fits(s.Kinds[kind].Ends, s.jacks[ends[0]].Kind, other)
}

// samePoles says whether a kind has as many poles as a cord.
func (s *Stock) samePoles(kind int, c patch.Cord) bool {
	return (s.Kinds[kind].Poles == 2) == (c.Poles == 2)
}

// oneMore is the kind of a present cord that is owned beyond what the file has, or is owed
// where such cords are counted in.
func (s *Stock) oneMore(c int) int {
	ends := s.present[c]
	said := s.said[ends]
	best := graph.None
	for k := range s.Kinds {
		if s.is(k, said.Length, ends) && (best < 0 || s.samePoles(k, said) && !s.samePoles(best, said)) {
			best = k
		}
	}
	if best < 0 {
		best = len(s.Kinds)
		s.Kinds = append(s.Kinds, s.ownKind(said, ends))
		s.Counts = append(s.Counts, 1)
		return best
	}
	if !s.counted {
		s.Counts[best]++
	}
	return best
}

func (s *Stock) ownKind(said patch.Cord, ends [2]int) studio.StockCord {
	kind := studio.StockCord{Length: said.Length, Poles: said.Poles, Ends: [2]studio.Jack{s.jacks[ends[0]].Kind, s.jacks[ends[0]].Kind}}
	if ends[1] != graph.None {
		kind.Ends[1] = s.jacks[ends[1]].Kind
		kind.Length = cmp.Or(said.Length, s.Need(ends[0], ends[1]))
	}
	return kind
}

// KindIn is the kind of the present cord between two jacks.
func (s *Stock) KindIn(ends [2]int) int { return s.Old[slices.Index(s.present, ends)] }

// Dummies are those owned, with those that are in; -1 where there is no end to them.
func Dummies(s *studio.Studio, present graph.Patch) int {
	if s.Dummies < 0 || s.Stock.Counted {
		return s.Dummies
	}
	return max(s.Dummies, len(present.Dummies))
}

// Ready is how many cords of each kind lie ready beside those that are in.
func (s *Stock) Ready() []int {
	ready := slices.Clone(s.Counts)
	for _, k := range s.Old {
		ready[k]--
	}
	return ready
}

// Fresh are the kinds of cords that come in, with the length and the poles that a plan
// says of each, of those that lie ready or of as many as come out of each kind; None for
// a cord that neither leaves. One that lies ready is taken before one that comes out.
func (s *Stock) Fresh(g *graph.Graph, cords []patch.Cord, out []int) []int {
	places := slices.Concat(s.Ready(), out)
	kinds := matching.New(places, func(c, place int) bool {
		k := place % len(s.Kinds)
		return s.is(k, cords[c].Length, g.Ends(cords[c])) && s.samePoles(k, cords[c])
	})
	found := make([]int, len(cords))
	for c := range cords {
		found[c] = graph.None
		kinds.Add(c)
	}
	for place := range places {
		for _, c := range kinds.At(place) {
			found[c] = place % len(s.Kinds)
		}
	}
	return found
}
