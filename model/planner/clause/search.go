package clause

import "slices"

// Restarts follow the sequence of Luby, Sinclair and Zuckerman (1993), in units
// of so many conflicts.
const unit = 32

// Solve looks for an answer under the assumptions, with at most so much work;
// negative work has no bound.
func (s *Solver) Solve(assumptions []Lit, work int64) Result {
	s.core = nil
	defer s.back(0)
	if s.broken {
		return No
	}
	until := s.Work + work
	if work < 0 {
		until = 1 << 62
	}
	s.base = int32(min(1, len(assumptions)))
	s.search++
	for round := 1; ; round++ {
		// Answers near the preferred one are wanted, so each start begins there.
		copy(s.phase, s.first)
		conflicts := unit * luby(round)
		guesses := 0
		for done := false; !done; {
			if clash := s.propagate(); clash != 0 {
				if len(s.limits) == 0 {
					s.broken = true
					return No
				}
				if len(s.limits) == 1 && len(assumptions) > 0 {
					s.blame(s.lits(clash))
					return No
				}
				s.learn(clash)
				conflicts--
				guesses = 0
				continue
			}
			if guesses++; s.Patience > 0 && guesses > s.Patience {
				return Unknown
			}
			if s.Work > until || s.Stop != nil && s.Stop() {
				return Unknown
			}
			if conflicts <= 0 {
				s.back(min(1, len(assumptions)))
				done = true
				continue
			}
			if len(s.learned) > s.most {
				s.reduce()
				s.most, s.more = len(s.learned)+s.more, s.more+s.more/16
			}
			switch s.decide(assumptions) {
			case Yes:
				return Yes
			case No:
				return No
			case Unknown:
			}
		}
	}
}

// decide makes all assumptions true, on one level, or the next guess. Yes means
// that nothing is left to guess, No that the assumptions fail.
func (s *Solver) decide(assumptions []Lit) Result {
	if len(s.limits) == 0 && len(assumptions) > 0 {
		s.limits = append(s.limits, len(s.trail))
		return s.assume(assumptions)
	}
	v, ok := s.next()
	if !ok {
		s.keep()
		if s.Check == nil {
			return Yes
		}
		if broken := s.Check(); len(broken) > 0 {
			return s.refuse(broken, len(assumptions) > 0)
		}
		return Yes
	}
	l := Lit(2 * v)
	if s.phase[v] {
		l = l.Not()
	}
	s.limits = append(s.limits, len(s.trail))
	s.set(l, 0)
	return Unknown
}

// next is the variable to guess at; false where all have a value.
func (s *Solver) next() (int, bool) {
	for {
		v, ok := s.order.take()
		if !ok {
			break
		}
		if s.values[2*v] == open {
			return v, true
		}
	}
	for v := s.order.quiet; v < len(s.level); v++ {
		if s.values[2*v] == open && s.order.activity[v] == 0 {
			s.order.quiet = v
			return v, true
		}
	}
	s.order.quiet = len(s.level)
	return 0, false
}

func (s *Solver) assume(assumptions []Lit) Result {
	for _, l := range assumptions {
		switch s.values[l] {
		case yes:
			continue
		case no:
			s.blame([]Lit{l})
			s.core = append(s.core, l)
			return No
		case open:
		}
		s.set(l, 0)
		if clash := s.propagate(); clash != 0 {
			s.blame(s.lits(clash))
			return No
		}
	}
	return Unknown
}

func (s *Solver) keep() {
	if len(s.model) < len(s.level) {
		s.model = make([]bool, len(s.level))
	}
	for v := range s.level {
		s.model[v] = s.values[2*v] == yes
	}
}

// learn turns a clash into a clause that keeps it from coming again, goes back
// to where that clause says something, and says it.
func (s *Solver) learn(clash ref) {
	lits := s.analyse(clash)
	s.minimise(&lits)
	level := 0
	if len(lits) > 1 {
		at := 1
		for i := 2; i < len(lits); i++ {
			if s.level[lits[i].Var()] > s.level[lits[at].Var()] {
				at = i
			}
		}
		lits[1], lits[at] = lits[at], lits[1]
		level = int(s.level[lits[1].Var()])
	}
	glue := s.glue(lits)
	s.back(level)
	if len(lits) == 1 {
		s.set(lits[0], 0)
	} else {
		r := s.attach(lits, true, glue)
		putFixedLast(s, r)
		s.set(lits[0], r)
	}
	s.bump /= 0.90
	if s.bump > 1e100 {
		for v := range s.order.activity {
			s.order.activity[v] *= 1e-100
		}
		s.bump *= 1e-100
	}
}

// analyse resolves backward to the first literal that alone leads to the clash
// from the present level.
func (s *Solver) analyse(clash ref) []Lit {
	lits := append(s.clause[:0], 0)
	here := int32(len(s.limits))
	pending, at := 0, len(s.trail)-1
	var l Lit
	for why := s.lits(clash); ; why = antecedents(s, s.reason[l.Var()]) {
		for _, q := range why {
			v := q.Var()
			if s.seen[v] || s.level[v] == 0 {
				continue
			}
			s.seen[v] = true
			s.raise(v, 1)
			if s.level[v] == here {
				pending++
			} else {
				lits = append(lits, q)
			}
		}
		s.Work += int64(len(why)) + 1
		for !s.seen[s.trail[at].Var()] {
			at--
		}
		l = s.trail[at]
		at--
		s.seen[l.Var()] = false
		pending--
		if pending == 0 {
			break
		}
	}
	lits[0], s.clause = l.Not(), lits
	return lits
}

// minimise leaves out literals that follow from the others, and clears the
// marks.
func (s *Solver) minimise(lits *[]Lit) {
	s.cleared = append(s.cleared[:0], *lits...)
	kept := (*lits)[:1]
	for _, l := range (*lits)[1:] {
		if s.reason[l.Var()] == 0 || !s.covered(l) {
			kept = append(kept, l)
		}
	}
	for _, l := range s.cleared {
		s.seen[l.Var()] = false
	}
	*lits = kept
}

// covered says whether a literal follows from marked ones; what it finds on the
// way to follow is marked as well (Sorensson and Biere 2009).
func (s *Solver) covered(l Lit) bool {
	s.stack = append(s.stack[:0], l)
	before := len(s.cleared)
	for len(s.stack) > 0 {
		r := s.reason[s.stack[len(s.stack)-1].Var()]
		s.stack = s.stack[:len(s.stack)-1]
		for _, q := range antecedents(s, r) {
			v := q.Var()
			if s.seen[v] || s.level[v] == 0 {
				continue
			}
			if s.reason[v] == 0 {
				for _, c := range s.cleared[before:] {
					s.seen[c.Var()] = false
				}
				s.cleared = s.cleared[:before]
				return false
			}
			s.seen[v] = true
			s.stack = append(s.stack, q)
			s.cleared = append(s.cleared, q)
		}
	}
	return true
}

// glue counts the levels that a learned clause ties together; few is good.
func (s *Solver) glue(lits []Lit) int {
	s.stamp++
	for len(s.stamps) <= len(s.limits) {
		s.stamps = append(s.stamps, 0)
	}
	count := 0
	for _, l := range lits {
		if at := s.level[l.Var()]; s.stamps[at] != s.stamp {
			s.stamps[at] = s.stamp
			count++
		}
	}
	return count
}

// blame finds the assumptions that make all of some literals false.
func (s *Solver) blame(lits []Lit) {
	s.core = nil
	for _, l := range lits {
		s.seen[l.Var()] = s.level[l.Var()] > 0
	}
	for i := len(s.trail) - 1; i >= s.limits[0]; i-- {
		l := s.trail[i]
		if !s.seen[l.Var()] {
			continue
		}
		s.seen[l.Var()] = false
		r := s.reason[l.Var()]
		if r == 0 {
			s.core = append(s.core, l)
			continue
		}
		for _, q := range antecedents(s, r) {
			if s.level[q.Var()] > 0 {
				s.seen[q.Var()] = true
			}
		}
	}
}

// reduce forgets the worse half of what was learned.
func (s *Solver) reduce() {
	locked := func(r ref) bool {
		l := s.lits(r)[0]
		return s.values[l] == yes && s.reason[l.Var()] == r
	}
	slices.SortStableFunc(s.learned, func(a, b ref) int {
		if s.store[a+2] != s.store[b+2] {
			return int(s.store[a+2] - s.store[b+2])
		}
		return int(b - a)
	})
	keep := s.learned[:0]
	half := len(s.learned) / 2
	for i, r := range s.learned {
		if i < half || s.store[r+2] <= 2 || locked(r) {
			keep = append(keep, r)
			continue
		}
		s.store[r+1] = 2
		s.wasted += int(s.store[r]) + head
	}
	s.learned = keep
	for l := range s.watches {
		s.watches[l] = slices.DeleteFunc(s.watches[l], func(w watch) bool { return s.store[w.ref()+1] == 2 })
	}
	if s.wasted > len(s.store)/2 {
		s.pack()
	}
}

// pack moves what is still in use together.
func (s *Solver) pack() {
	store := make([]Lit, 1, len(s.store)-s.wasted)
	moved := map[ref]ref{}
	for r := ref(1); int(r) < len(s.store); {
		n := ref(s.store[r]) + head
		if s.store[r+1] != 2 {
			moved[r] = ref(len(store))
			store = append(store, s.store[r:r+n]...)
		}
		r += n
	}
	s.store, s.wasted = store, 0
	for l := range s.watches {
		for i := range s.watches[l] {
			w := &s.watches[l][i]
			if w.clause < 0 {
				w.clause = -moved[-w.clause]
			} else {
				w.clause = moved[w.clause]
			}
		}
	}
	for i := range s.learned {
		s.learned[i] = moved[s.learned[i]]
	}
	for v := range s.reason {
		if s.reason[v] > 0 {
			s.reason[v] = moved[s.reason[v]]
		}
	}
}

// luby is the i-th term, from 1, of 1 1 2 1 1 2 4 1 1 2 ...
func luby(i int) int {
	for k := 1; ; k++ {
		if i == 1<<k-1 {
			return 1 << (k - 1)
		}
		if i < 1<<k-1 {
			return luby(i - (1<<(k-1) - 1))
		}
	}
}
