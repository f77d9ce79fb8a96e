package clause

import "slices"

// rivals are lists of literals of which at most one is true. Such a list stands for a
// clause of each two of its literals, which nobody writes down: a long list costs what it
// has of literals, and no variable more.
type rivals struct {
	// members are the literals of all lists, one list after the other.
	members []Lit
	// lists are those that some literal is in, first the number of the last one of a
	// literal, from 1.
	lists []list
	first []int32 // by literal
}

// list is a list that a literal is in, as a piece of the members, with the number of the
// one before of that literal.
type list struct{ from, to, next int32 }

// AtMostOne allows one of several. It may be called between searches at any time.
func AtMostOne(s *Solver, lits []Lit) {
	s.back(0)
	if s.Ladders {
		ladder(s, lits)
		return
	}
	for _, l := range twice(s, lits) {
		s.Add(l.Not())
	}
	if at := slices.IndexFunc(lits, func(l Lit) bool { return s.values[l] == yes }); at >= 0 {
		for _, l := range lits {
			if l != lits[at] {
				s.Add(l.Not())
			}
		}
		return
	}
	from := int32(len(s.rivals.members))
	for _, l := range lits {
		if s.values[l] == open {
			s.rivals.members = append(s.rivals.members, l)
		}
	}
	enlist(s, from)
}

// ladder allows one of several by clauses: each two of a short list, and along a long one a
// helper that says whether one was true so far (Sinz 2005, "Towards an optimal CNF encoding
// of Boolean cardinality constraints").
func ladder(s *Solver, lits []Lit) {
	if len(lits) <= 5 {
		for i := range lits {
			for j := range i {
				s.Add(lits[i].Not(), lits[j].Not())
			}
		}
		return
	}
	before := False
	for i, l := range lits {
		s.Add(before.Not(), l.Not())
		if i == len(lits)-1 {
			return
		}
		taken := s.Var()
		s.Add(l.Not(), taken)
		s.Add(before.Not(), taken)
		before = taken
	}
}

// twice are the literals that are among several more than once.
func twice(s *Solver, lits []Lit) []Lit {
	var twice []Lit
	for i, l := range lits {
		if s.seen[l.Var()] && slices.Contains(lits[:i], l) {
			twice = append(twice, l)
		}
		s.seen[l.Var()] = true
	}
	for _, l := range lits {
		s.seen[l.Var()] = false
	}
	return twice
}

// enlist makes a list of the last members. Two are a clause as any other, and one alone has
// no rival.
func enlist(s *Solver, from int32) {
	open := s.rivals.members[from:]
	if len(open) < 3 {
		s.rivals.members = s.rivals.members[:from]
		if len(open) == 2 {
			s.Add(open[0].Not(), open[1].Not())
		}
		return
	}
	for _, l := range open {
		s.rivals.lists = append(s.rivals.lists, list{from, int32(len(s.rivals.members)), s.rivals.first[l]})
		s.rivals.first[l] = int32(len(s.rivals.lists))
	}
}

// exclude makes the rivals of a literal that became true false. It returns a clause that
// cannot hold where one of them is true, or 0.
func exclude(s *Solver, l Lit) ref {
	why := because(l)
	for at := s.rivals.first[l]; at != 0; {
		list := s.rivals.lists[at-1]
		at = list.next
		rivals := s.rivals.members[list.from:list.to]
		s.Work += int64(len(rivals))
		for _, q := range rivals {
			switch {
			case s.values[q] == no || q == l:
			case s.values[q] == open:
				s.set(q.Not(), why)
			default:
				pair := s.lits(pairAt)
				pair[0], pair[1] = q.Not(), l.Not()
				return pairAt
			}
		}
	}
	return 0
}

// because is the reason of what is false for the sake of a rival.
func because(rival Lit) ref { return -ref(rival) }

// pairAt is the place of a clause of two literals that tells of two rivals that clash. Nothing
// watches it.
const pairAt ref = 1

// antecedents are the literals that are false and made another true, for the reason of
// that. They stand until they are asked for again.
func antecedents(s *Solver, why ref) []Lit {
	if why < 0 {
		s.rival[0] = Lit(-why).Not()
		return s.rival[:]
	}
	return s.lits(why)[1:]
}
