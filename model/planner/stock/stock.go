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
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// Stock is the cords that are owned. Between jacks, it counts cords of a patch by
// their ends, the second None for one that hangs.
type Stock struct {
	jacks []graph.Jack
	// Unlimited says that there is no end to the cords, counted that those that are in are
	// no more than are owned.
	Unlimited, counted bool
	// Kinds are those owned, shortest first, then those of the cords that are in and of
	// no kind owned; Counts is how many there are of each.
	Kinds  []studio.StockCord
	Counts []int
	// Old is the kind of each cord of the present patch.
	Old []int

	slack   measure.Length
	present [][2]int
	// said is what the present patch says of a cord, by its ends.
	said map[[2]int]patch.Cord
	// longest is the longest cord that has plugs for two kinds of jack; None for none.
	longest Longest
	ways    ways
}

// New is the stock of a studio, with the cords of the patch that is in counted in. Kept
// are other patches that were in: where a cord of theirs goes, others do.
func New(g *graph.Graph, from patch.Patch, present graph.Patch, kept ...patch.Patch) Stock {
	s := Stock{
		jacks: g.Jacks, Unlimited: g.Studio.Stock.Unlimited, counted: g.Studio.Stock.Counted, slack: g.Studio.Stock.Slack,
		present: present.Cords, said: map[[2]int]patch.Cord{},
		ways: newWays(g, append(kept, from, g.Studio.Rest)),
	}
	for _, c := range g.Studio.Stock.Cords {
		if c.Count > 0 || s.counted {
			s.Kinds = append(s.Kinds, c)
		}
	}
	slices.SortStableFunc(s.Kinds, func(a, b studio.StockCord) int { return cmp.Compare(a.Length, b.Length) })
	for _, k := range s.Kinds {
		s.Counts = append(s.Counts, k.Count)
	}
	for _, c := range from.Cords {
		s.said[g.Ends(c)] = c
	}
	s.addPresent()
	s.measure()
	return s
}

// measure finds the longest cords, once all kinds are known.
func (s *Stock) measure() { s.longest = s.LongestOf(func(int) bool { return true }) }
