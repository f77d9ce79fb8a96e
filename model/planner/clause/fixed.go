package clause

// putFixedLast puts last what is false for the rest of this search, of which there may be
// hundreds by the assumptions, so that nobody looks at it again before the next one. All of
// the clause but the first two literals is false.
func putFixedLast(s *Solver, r ref) {
	lits := s.lits(r)
	end := len(lits)
	for i := 2; i < end; {
		if l := lits[i]; s.level[l.Var()] <= s.base {
			end--
			lits[i], lits[end] = lits[end], l
			continue
		}
		i++
	}
	s.store[r+3], s.store[r+4] = Lit(end), s.search
}

// unfixed is how many literals of a clause come before those that are false for the rest of
// a search.
func unfixed(store []Lit, r ref, search Lit) int {
	if store[r+4] == search {
		return int(store[r+3])
	}
	return int(store[r])
}

// notFalse is the place of the first of a clause's literals, from the third to an end, that
// is not false; the end where there is none.
func notFalse(values []value, lits []Lit, end int) int {
	next := 2
	for next < end && values[lits[next]] == no {
		next++
	}
	return next
}
