package clause

import "slices"

// Add adds a clause. It may be called between searches at any time; what follows
// from it is drawn when the next one begins.
func (s *Solver) Add(lits ...Lit) {
	s.back(0)
	r := s.begin(len(lits))
	for _, l := range lits {
		switch {
		case s.values[l] == yes, s.seen[l.Var()] && s.has(r, l.Not()):
			s.forget(r)
			return
		case s.values[l] == open && !s.seen[l.Var()]:
			s.seen[l.Var()] = true
			s.store = append(s.store, l)
		}
	}
	kept := s.store[r+head:]
	for _, l := range kept {
		s.seen[l.Var()] = false
	}
	switch len(kept) {
	case 0:
		s.broken = true
		s.forget(r)
	case 1:
		s.set(kept[0], 0)
		s.forget(r)
	default:
		s.store[r] = Lit(len(kept))
		s.fresh = append(s.fresh, r)
	}
}

// begin writes the head of a clause of no literal yet at the end of the store,
// where there is room for so many.
func (s *Solver) begin(n int) ref {
	r := ref(len(s.store))
	if need := head + n; cap(s.store)-len(s.store) < need {
		s.store = slices.Grow(s.store, max(len(s.store), 8192)+need)
	}
	s.store = append(s.store, make([]Lit, head)...)
	return r
}

// has says whether the clause at the end of the store has a literal.
func (s *Solver) has(r ref, l Lit) bool { return slices.Contains(s.store[r+head:], l) }

// forget takes the clause at the end of the store out.
func (s *Solver) forget(r ref) {
	for _, l := range s.store[r+head:] {
		s.seen[l.Var()] = false
	}
	s.store = s.store[:r]
}

// watchFresh watches the clauses that were added since the last search. It
// returns one that cannot hold, or 0.
func (s *Solver) watchFresh() ref {
	fresh := s.fresh
	s.fresh = s.fresh[:0]
	if len(fresh) > len(s.level) {
		s.makeRoom(fresh)
		s.fresh = nil // so many do not come again
	}
	for _, r := range fresh {
		lits, ahead := s.lits(r), 0
		for i := 0; i < len(lits) && ahead < 2; i++ {
			if s.values[lits[i]] != no {
				lits[ahead], lits[i] = lits[i], lits[ahead]
				ahead++
			}
		}
		switch {
		case ahead == 0:
			return r
		case ahead == 2:
			s.watch(lits[0], r, lits[1])
			s.watch(lits[1], r, lits[0])
		case s.values[lits[0]] == open:
			s.set(lits[0], 0)
		}
	}
	return 0
}

// makeRoom gives all lists of watches the room that many clauses need, in one
// piece.
func (s *Solver) makeRoom(clauses []ref) {
	need := make([]int, len(s.watches))
	for _, r := range clauses {
		for _, l := range s.lits(r)[:2] {
			need[l.Not()]++
		}
	}
	total := 0
	for l, list := range s.watches {
		need[l] += len(list) + need[l]/2 + 2 // some to spare, for what is learned
		total += need[l]
	}
	all := make([]watch, 0, total)
	for l, list := range s.watches {
		at := len(all)
		all = append(all, list...)
		s.watches[l] = all[at : len(all) : at+need[l]]
		all = all[:at+need[l]]
	}
}

// attach adds a clause in the midst of a search; its first two literals are
// watched.
func (s *Solver) attach(lits []Lit, learned bool, glue int) ref {
	r := s.begin(len(lits))
	s.store = append(s.store, lits...)
	s.store[r], s.store[r+2] = Lit(len(lits)), Lit(glue)
	if learned {
		s.store[r+1] = 1
		s.learned = append(s.learned, r)
	}
	s.watch(lits[0], r, lits[1])
	s.watch(lits[1], r, lits[0])
	return r
}

func (s *Solver) watch(l Lit, r ref, blocker Lit) {
	if s.store[r] == 2 {
		r = -r
	}
	s.watches[l.Not()] = append(s.watches[l.Not()], watch{r, blocker})
}

func (s *Solver) lits(r ref) []Lit {
	n := ref(s.store[r])
	return s.store[r+head : r+head+n]
}
