package stock

import (
	"slices"

	"bayhand/model/graph"
	"bayhand/model/layout"
	"bayhand/model/matching"
	"bayhand/model/measure"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// LengthOf is the length that the present patch gives for a cord; 0 where it gives
// none.
func (s *Stock) LengthOf(ends [2]int) measure.Length { return s.said[ends].Length }

// In is what the present patch says of the cord between two jacks.
func (s *Stock) In(ends [2]int) patch.Cord { return s.said[ends] }

// Need is the least length of a cord between two jacks.
func (s *Stock) Need(i, j int) measure.Length {
	return s.jacks[i].Spot.Distance(s.jacks[j].Spot) + s.slack
}

// NeedOf is the least length of a cord; 0 for one that hangs.
func (s *Stock) NeedOf(ends [2]int) measure.Length {
	if ends[1] == graph.None {
		return 0
	}
	return s.Need(ends[0], ends[1])
}

// Goes says whether a cord of a kind can be between two jacks, or hang from one.
func (s *Stock) Goes(kind int, ends [2]int) bool {
	k := &s.Kinds[kind]
	if ends[1] == graph.None {
		return layout.Fits(k.Ends, s.jacks[ends[0]].Kind, studio.JackUnknown)
	}
	if s.barred(ends[0], ends[1]) {
		return false
	}
	return k.Length >= s.Need(ends[0], ends[1]) && layout.Fits(k.Ends, s.jacks[ends[0]].Kind, s.jacks[ends[1]].Kind)
}

// Any says whether a cord is owned that goes between two jacks.
func (s *Stock) Any(i, j int) bool {
	if s.jacks[i].Socket || s.jacks[j].Socket || s.barred(i, j) {
		return false
	}
	return s.Unlimited || s.longest.Reaches(s, i, j)
}

// AnyHangs says whether a cord is owned that could hang from a jack.
func (s *Stock) AnyHangs(j int) bool {
	switch {
	case s.jacks[j].Socket:
		return false
	case s.Unlimited:
		return true
	}
	return slices.ContainsFunc(s.Kinds, func(k studio.StockCord) bool {
		return layout.Fits(k.Ends, s.jacks[j].Kind, studio.JackUnknown)
	})
}

// OldReaches says whether a cord of the present patch reaches between two jacks. Where
// the stock has no limit and the cord no length, it does.
func (s *Stock) OldReaches(old, i, j int) bool {
	if s.Unlimited && s.LengthOf(s.present[old]) == 0 {
		return !s.barred(i, j)
	}
	return s.Goes(s.Old[old], graph.Ordered([2]int{i, j}))
}

// Longest is, by the kinds of two jacks, the longest cord that has plugs for both; None for
// none.
type Longest [studio.LongFrame + 1][studio.LongFrame + 1]measure.Length

// LongestOf are the longest cords of some kinds.
func (s *Stock) LongestOf(among func(kind int) bool) Longest {
	var l Longest
	for a := range l {
		for b := range l[a] {
			l[a][b] = graph.None
			for k, cord := range s.Kinds {
				if among(k) && layout.Fits(cord.Ends, studio.Jack(a), studio.Jack(b)) {
					l[a][b] = max(l[a][b], cord.Length)
				}
			}
		}
	}
	return l
}

// Reaches says whether one of the longest cords reaches from a jack to another, where no
// wall is between them and no tie.
func (l *Longest) Reaches(s *Stock, i, j int) bool {
	return s.Need(i, j) <= l[s.jacks[i].Kind][s.jacks[j].Kind]
}

// Longest is the longest cord owned whose plugs fit two jacks; 0 for none.
func (s *Stock) Longest(i, j int) measure.Length {
	return max(0, s.longest[s.jacks[i].Kind][s.jacks[j].Kind])
}

// Shortage says of each kind whether it is one of a set that more of some cords depend
// on than are owned; nil where the stock suffices for all.
func (s *Stock) Shortage(cords [][2]int) []bool {
	if s.Unlimited {
		return nil
	}
	kinds := s.Assignment(cords, s.Counts)
	for c := range cords {
		if !kinds.Add(c) {
			return kinds.Short()
		}
	}
	return nil
}

// Assignment gives cords a kind each, of which there are so many.
func (s *Stock) Assignment(cords [][2]int, counts []int) *matching.Matching {
	return matching.New(counts, func(c, k int) bool { return s.Goes(k, cords[c]) })
}
