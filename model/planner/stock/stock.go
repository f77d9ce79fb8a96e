// Package stock is the patch cords that are owned: which kinds go between which jacks,
// and whether there are enough of each for the cords of a patch. What is plugged is
// owned, even where the studio's file forgot it.
//
// A kind is a length, the plugs at both ends and the poles. A cord reaches between two
// jacks where it is as long as the way between them and the slack that cords need, and
// has a plug for each. A shortage is a set of kinds that more cords depend on than are
// owned of these.
package stock

import (
	"cmp"
	"slices"

	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Stock is the cords that are owned. Between jacks, it counts cords of a patch by
// their ends, the second None for one that hangs.
type Stock struct {
	jacks []graph.Jack
	// Unlimited says that there is no end to the cords.
	Unlimited bool
	// Kinds are those owned, shortest first, then those of the cords that are in and of
	// no kind owned; Counts is how many there are of each.
	Kinds  []studio.StockCord
	Counts []int
	// Old is the kind of each cord of the present patch.
	Old []int

	slack   measure.Length
	present [][2]int
	// lengths is what the present patch says of a cord, by its ends.
	lengths map[[2]int]measure.Length
	// longest is the longest cord that has plugs for two kinds of jack; None for none.
	longest [studio.LongFrame + 1][studio.LongFrame + 1]measure.Length
	ways    ways
}

// New is the stock of a studio, with the cords of the patch that is in counted in. Kept
// are other patches that were in: where a cord of theirs goes, others do.
func New(g *graph.Graph, from patch.Patch, present graph.Patch, kept ...patch.Patch) Stock {
	s := Stock{
		jacks: g.Jacks, Unlimited: g.Studio.Stock.Unlimited, slack: g.Studio.Stock.Slack,
		present: present.Cords, lengths: map[[2]int]measure.Length{},
		ways: newWays(g, append(kept, from, g.Studio.Rest)),
	}
	for _, c := range g.Studio.Stock.Cords {
		if c.Count > 0 {
			s.Kinds = append(s.Kinds, c)
		}
	}
	slices.SortStableFunc(s.Kinds, func(a, b studio.StockCord) int { return cmp.Compare(a.Length, b.Length) })
	for _, k := range s.Kinds {
		s.Counts = append(s.Counts, k.Count)
	}
	for _, c := range from.Cords {
		s.lengths[g.Ends(c)] = c.Length
	}
	s.addPresent()
	s.measure()
	return s
}

// addPresent finds what kind each present cord is.
func (s *Stock) addPresent() {
	used := make([]int, len(s.Kinds))
	for _, c := range s.present {
		k := s.kindOf(s.LengthOf(c), c, used)
		s.Old = append(s.Old, k)
		for len(used) < len(s.Kinds) {
			used = append(used, 0)
		}
		used[k]++
		s.Counts[k] = max(s.Counts[k], used[k])
	}
}

// kindOf is the kind of a cord that is in: one of its length that fits and is
// not all in use yet; without a length the shortest that reaches. A cord that is
// of no kind owned makes a kind of its own.
func (s *Stock) kindOf(length measure.Length, ends [2]int, used []int) int {
	best := graph.None
	for k, kind := range s.Kinds {
		if length != 0 && kind.Length != length || !s.Goes(k, ends) {
			continue
		}
		if best < 0 || used[best] >= s.Counts[best] && used[k] < s.Counts[k] {
			best = k
		}
	}
	if best >= 0 {
		return best
	}
	if length == 0 && ends[1] != graph.None {
		length = s.Need(ends[0], ends[1])
	}
	kind := studio.StockCord{Length: length, Ends: [2]studio.Jack{s.jacks[ends[0]].Kind, s.jacks[ends[0]].Kind}}
	if ends[1] != graph.None {
		kind.Ends[1] = s.jacks[ends[1]].Kind
	}
	s.Kinds = append(s.Kinds, kind)
	s.Counts = append(s.Counts, 0)
	return len(s.Kinds) - 1
}

// measure finds the longest cords, once all kinds are known.
func (s *Stock) measure() {
	for a := range s.longest {
		for b := range s.longest[a] {
			s.longest[a][b] = graph.None
			for _, k := range s.Kinds {
				if layout.Fits(k.Ends, studio.Jack(a), studio.Jack(b)) {
					s.longest[a][b] = max(s.longest[a][b], k.Length)
				}
			}
		}
	}
}
