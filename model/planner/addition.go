package planner

import (
	"cmp"
	"slices"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/model/planner/problem"
)

// addition is one more of a sort; of nothing where nobody knows where.
func (e enough) addition(g scarce, s *plan.Shortage) plan.Addition {
	a := plan.Addition{What: g.what, Of: g.of}
	switch g.what {
	case plan.AddedCord:
		a.Cord = toBuy(g.cords)
	case plan.AddedOutput, plan.AddedInput:
		if a.Of = append(slices.Clone(g.of), bayAt(e.made.problem, g.at[0])); a.Of[1] == "" {
			return plan.Addition{}
		}
	case plan.AddedDummy, plan.AddedTie, plan.AddedMult:
	}
	return a
}

// toBuy is the longest of some kinds of cord, with three poles before two, in whatever colour.
func toBuy(cords []*plan.OwnedCord) *plan.OwnedCord {
	longest := *cords[0]
	for _, c := range cords {
		if c.Length > longest.Length || c.Length == longest.Length && longest.Poles == 2 {
			longest = *c
		}
	}
	longest.Colour = ""
	return &longest
}

// mults are a mult in the bay of a source that is split, or else of the first source, and one
// in the bay to which it goes.
func (e enough) mults(s *plan.Shortage) []plan.Addition {
	var add []plan.Addition
	takes := slices.Clone(s.Takes)
	slices.SortStableFunc(takes, func(a, b plan.Taking) int { return cmp.Compare(min(2, len(b.At)), min(2, len(a.At))) })
	for _, k := range takes {
		for _, p := range append([]name.Point{k.Source}, k.At...) {
			if bay := bayAt(e.made.problem, p); bay != "" && !slices.ContainsFunc(add, func(a plan.Addition) bool { return a.Of[0] == bay }) {
				add = append(add, plan.Addition{What: plan.AddedMult, Of: []string{bay}})
			}
		}
	}
	if len(add) == 0 {
		return []plan.Addition{{}}
	}
	return add[:min(2, len(add))]
}

// bayAt is the bay in which a point has a jack; empty for none.
func bayAt(t *problem.Problem, p name.Point) string {
	at, ok := t.Number[p]
	if !ok {
		return ""
	}
	for _, j := range t.Nodes[t.Node[at]].Jacks {
		return t.Owner(j)
	}
	return ""
}

// tieFor is a tie from the bay of a source to the bay of its destination, where these are
// two.
func (e enough) tieFor(s *plan.Shortage) plan.Addition {
	for _, k := range s.Takes {
		for _, at := range k.At {
			if a, b := bayAt(e.made.problem, k.Source), bayAt(e.made.problem, at); a != b && a != "" && b != "" {
				return plan.Addition{What: plan.AddedTie, Of: []string{a, b}}
			}
		}
	}
	return plan.Addition{}
}
