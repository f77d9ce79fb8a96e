package stock

import (
	"bayhand/model/graph"
	"bayhand/model/patch"
)

// Bays that are tied with each other mostly hang apart, in two rooms or racks. Where the
// file gives neither of two such bays a place, nothing says that a cord reaches from one
// to the other, and the line that is tied is there for it.

// GoByTies has no cord go past the ties: between two bays that are tied with each other
// and of which the file says no place, unless a cord of some patches goes there. It says
// whether there are such bays.
func (s *Stock) GoByTies(g *graph.Graph, patches ...patch.Patch) bool {
	number := map[string]int{}
	for i, b := range g.Studio.Bays {
		number[b.Name] = i
	}
	apart := map[[2]int]bool{}
	for _, t := range g.Studio.Ties {
		a, isBay := number[t.A.Owner]
		b, isOther := number[t.B.Owner]
		if isBay && isOther && a != b && !g.Studio.Bays[a].At.Said && !g.Studio.Bays[b].At.Said {
			apart[[2]int{a, b}], apart[[2]int{b, a}] = true, true
		}
	}
	for _, p := range patches {
		for _, c := range p.Cords {
			a, b := number[c.A.Owner], number[c.B.Owner]
			delete(apart, [2]int{a, b})
			delete(apart, [2]int{b, a})
		}
	}
	s.apart = apart
	return len(apart) > 0
}

// pastTies says whether a cord between two jacks would go past ties.
func (s *Stock) pastTies(i, j int) bool {
	return len(s.apart) > 0 && s.apart[[2]int{s.jacks[i].Bay, s.jacks[j].Bay}]
}
