package clause

import "slices"

// refuse adds clauses that the answer does not fulfil, and goes back to where
// the first of them says something.
func (s *Solver) refuse(clauses [][]Lit, assumed bool) Result {
	target := len(s.limits)
	for i := range clauses {
		clauses[i] = s.latestFirst(clauses[i])
		if len(clauses[i]) == 0 {
			s.broken = true
			return No
		}
		target = min(target, s.before(clauses[i]))
	}
	refs := s.attachAll(clauses)
	if target == 0 && assumed {
		for _, lits := range clauses {
			if len(lits) > 1 && s.values[lits[0]] == no && s.level[lits[0].Var()] == 1 {
				s.blame(lits)
				return No
			}
		}
	}
	s.back(target)
	for i, lits := range clauses {
		switch alone := len(lits) == 1 || s.values[lits[1]] == no; {
		case alone && s.values[lits[0]] == open:
			s.set(lits[0], refs[i])
		case len(lits) == 1 && s.values[lits[0]] == no:
			s.broken = true // it is attached nowhere
			return No
		}
	}
	return Unknown
}

// before is the level to which a new clause sends the search back: where its
// first literal follows from the others, or can still follow.
func (s *Solver) before(lits []Lit) int {
	switch {
	case s.values[lits[0]] == yes || len(lits) > 1 && s.values[lits[1]] != no:
		return len(s.limits)
	case len(lits) == 1:
		return 0
	case s.values[lits[0]] == no && s.level[lits[0].Var()] == s.level[lits[1].Var()]:
		return int(s.level[lits[0].Var()]) - 1
	}
	return int(s.level[lits[1].Var()])
}

// attachAll attaches clauses of two literals and more; the others have no place.
func (s *Solver) attachAll(clauses [][]Lit) []ref {
	refs := make([]ref, len(clauses))
	for i, lits := range clauses {
		if len(lits) > 1 {
			refs[i] = s.attach(lits, false, 0)
		}
	}
	return refs
}

// latestFirst are the literals of a clause without those that are never true:
// first those that are true or open, then those that became false, the latest
// first.
func (s *Solver) latestFirst(lits []Lit) []Lit {
	rank := func(l Lit) int {
		if s.values[l] != no {
			return 1 << 30
		}
		return int(s.level[l.Var()])
	}
	lits = slices.DeleteFunc(slices.Clone(lits), func(l Lit) bool { return rank(l) == 0 })
	slices.SortStableFunc(lits, func(a, b Lit) int { return rank(b) - rank(a) })
	return lits
}
