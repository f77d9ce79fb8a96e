package exact

import (
	"testing"

	"bayhand/model/planner/clause"
	"bayhand/model/planner/objective"
	"bayhand/model/planner/problem"
)

// No answer pays nothing of a cut, and most cuts are found so by the search as well, with little
// work: the rest would need signals to be refused that come from nowhere. They are what makes the
// bound of most homes, with what is known to be paid of normals that every answer breaks.
func TestEveryAnswerPaysEachCut(t *testing.T) {
	const homesDrawn = 6
	found, refused, known, bound, least := map[rank]int{}, 0, 0, 0, 0
	homes(t, homesDrawn, func(seed int, p *problem.Problem, best *objective.Candidate) {
		s := &search{Graph: p.Graph, problem: p, work: work, patience: maxRefusals}
		s.begin(t.Context())
		s.prepare()
		s.optimum.improves = nil // answers no better than one that is known stay answers
		for r := handled; r <= lastRank; r++ {
			if s.pays[r] == nil {
				s.pays[r] = func(arc, int, func(clause.Lit) bool) clause.Lit { return clause.False }
			}
			s.optimum.rank = r
			before := s.optimum.least[r]
			s.optimum.payKnown()
			known += s.optimum.least[r] - before
			k := newCuts(s.enc, s.optimum, r, s.pays)
			for _, source := range s.enc.wanted {
				for lits := k.smallest(source); len(lits) > 0; lits = k.smallest(source) {
					found[r]++
					switch s.enc.Solve(lits, 200e3) {
					case clause.Yes:
						t.Fatalf("home %d: an answer pays nothing of a cut of %d costs of rank %d", seed, len(lits), r)
					case clause.No:
						refused++
					case clause.Unknown:
					}
					k.optimum.pay(lits)
				}
			}
			if r == handled {
				bound, least = bound+s.optimum.least[handled], least+best.Score.Plugs
			}
			if !s.stage(r, work) || s.enc.Solve(nil, work) != clause.Yes {
				break // what is no better than the best plan was refused, and nothing else is left
			}
		}
	})
	all := found[handled] + found[broken] + found[changed]
	t.Logf("%d cuts by rank (%v), %d refused by the search, %d known, bound %d of %d plugs", all, found, refused, known, bound, least)
	if found[handled] < homesDrawn || found[broken] < 1 || known < homesDrawn || found[changed] < 2 || 10*refused < 8*all || 2*bound < least {
		t.Errorf("%d cuts by rank (%v), %d refused by the search, %d known, bound %d of %d plugs", all, found, refused, known, bound, least)
	}
}
