package clause

import "slices"

// Some is a literal that is true only if one of several is.
func Some(s *Solver, lits []Lit) Lit {
	switch {
	case len(lits) == 0:
		return False
	case len(lits) == 1:
		return lits[0]
	case slices.Contains(lits, True):
		return True
	}
	l := s.Var()
	s.addAny(lits, l.Not())
	return l
}

// Either is a literal that is true exactly if one of several is.
func Either(s *Solver, lits []Lit) Lit {
	if slices.Contains(lits, True) {
		return True
	}
	lits = unknown(lits)
	switch len(lits) {
	case 0:
		return False
	case 1:
		return lits[0]
	}
	l := s.Var()
	for _, k := range lits {
		s.Add(k.Not(), l)
	}
	s.addAny(lits, l.Not())
	return l
}

// unknown are the literals that are not False; the list itself where that is all.
func unknown(lits []Lit) []Lit {
	if !slices.Contains(lits, False) {
		return lits
	}
	return slices.DeleteFunc(slices.Clone(lits), func(l Lit) bool { return l == False })
}

// addAny says that one of several literals is true, or one more.
func (s *Solver) addAny(lits []Lit, more Lit) {
	s.scratch = append(append(s.scratch[:0], lits...), more)
	s.Add(s.scratch...)
}

// AtMost allows k of several, by counting along the list (Sinz 2005, as ladder).
func AtMost(s *Solver, lits []Lit, k int) {
	open := unknown(lits)
	if slices.Contains(open, True) {
		open = slices.Clone(open)
		lits = slices.DeleteFunc(open, func(l Lit) bool { return l == True })
		k -= len(open) - len(lits)
	} else {
		lits = open
	}
	if k < 0 {
		s.Add()
		return
	}
	if len(lits) <= k {
		return
	}
	before := slices.Repeat([]Lit{False}, k)
	for i, l := range lits {
		if k == 0 {
			s.Add(l.Not())
			continue
		}
		s.Add(before[k-1].Not(), l.Not())
		if i == len(lits)-1 {
			return
		}
		before = s.countOn(before, l, i)
	}
}

// countOn are literals of which the one at c is true where more than c of a list are,
// from those of the list before its literal l, which is the one at i.
func (s *Solver) countOn(before []Lit, l Lit, i int) []Lit {
	next := slices.Repeat([]Lit{False}, len(before))
	for c := range min(i+1, len(next)) {
		next[c] = s.Var()
		s.Add(before[c].Not(), next[c])
		if c == 0 {
			s.Add(l.Not(), next[0])
		} else {
			s.Add(l.Not(), before[c-1].Not(), next[c])
		}
	}
	return next
}
