// Package clause finds answers to many yes-or-no questions that hang together.
//
// A variable is one question; a literal is a variable or its negation; a clause
// says that at least one of its literals is true. Solve looks for an answer to
// all variables under which every clause holds and every assumption is true,
// or finds a set of assumptions that cannot be true together: the core.
//
// The search is by conflicts that are learned as new clauses (conflict-driven
// clause learning: watched literals, activity, restarts). It counts its own
// work and knows neither time nor chance, so that it is the same everywhere. It
// knows nothing of studios.
package clause

import "slices"

// Lit is a literal: variable v is 2v, its negation 2v+1.
type Lit int32

// Not is the negation.
func (l Lit) Not() Lit { return l ^ 1 }

// Var is the number of the literal's variable.
func (l Lit) Var() int { return int(l >> 1) }

// Negative says whether the literal negates its variable.
func (l Lit) Negative() bool { return l&1 == 1 }

// Result is what came of a search.
type Result uint8

const (
	// Unknown means that the work allowed was spent.
	Unknown Result = iota
	// Yes means that an answer was found.
	Yes
	// No means that there is none.
	No
)

type value int8

const (
	open value = iota
	yes
	no
)

// ref is the place of a clause in the store; 0 is none. As the reason of a literal one
// below 0 is a rival (because).
type ref int32

// The head of a stored clause: its length, its flags, its glue, and from which literal on
// all are false for the rest of a search, with the number of that search (putFixedLast).
const head = 5

// watch is a clause that one of its literals keeps an eye on. The blocker is
// another of its literals; of a clause of two, whose reference is negative here,
// the only other one, so that the clause need not be read.
type watch struct {
	clause  ref
	blocker Lit
}

func (w watch) ref() ref { return max(w.clause, -w.clause) }

// Solver holds clauses and what was learned. The zero value is not ready; use
// New.
type Solver struct {
	// Ladders makes AtMostOne write clauses with helper variables. What is learned of these
	// tells of many literals at once: in windows of large rooms, where little is free and
	// much was learned before an answer is found, that finds more than lists do.
	Ladders bool

	store   []Lit
	learned []ref
	fresh   []ref // clauses that are not watched yet
	watches [][]watch
	rivals  rivals
	values  []value // by literal
	level   []int32
	reason  []ref
	trail   []Lit
	limits  []int // of the trail, by level
	queue   int

	bump  float64
	order heap
	phase []bool // true: try the negation first
	first []bool // the phase before any search
	seen  []bool
	model []bool

	// clause, stack, cleared, stamps, stamp and rival are for learning.
	clause         []Lit
	stack, cleared []Lit
	stamps         []int64
	stamp          int64
	rival          [1]Lit

	core    []Lit
	broken  bool // a contradiction without assumptions
	wasted  int
	scratch []Lit // of addAny

	// Check, where it is set, looks at each answer before it is given. It returns
	// nothing, or clauses that are learned instead, of which the answer breaks one
	// at least. It may ask Value and Level and make variables with Var, and nothing
	// else.
	Check func() [][]Lit

	// most is how many learned clauses are kept before the worse half of them is forgotten,
	// more by how many it rises next: each time somewhat more.
	most, more int

	// base is the level of the assumptions; what is set there stays for the whole of a search,
	// of which search is the number.
	base   int32
	search Lit

	// Work counts literals looked at. It only grows.
	Work int64
	// Patience, where it is not 0, ends a search that has made so many guesses
	// since the last clash: an answer is near, and nobody waits for it.
	Patience int
	// Stop ends a search early where it returns true; it is asked now and then.
	Stop func() bool
}

// fewLearned is how many learned clauses are kept at first.
const fewLearned = 2000

// New makes a solver without variables. True is always true.
func New() *Solver {
	s := &Solver{bump: 1, most: fewLearned, more: fewLearned, store: []Lit{0, 2, 0, 0, 0, 0, True, True}} // after the place of none the pair
	s.Add(s.Var())
	return s
}

// True is a literal that every answer makes true.
const True Lit = 0

// False is one that none does.
const False Lit = 1

// Var makes a variable and returns its positive literal. The search tries no
// for it first.
func (s *Solver) Var() Lit {
	v := len(s.level)
	if v == cap(s.level) {
		s.moreRoom(max(v, 512))
	}
	s.level = append(s.level, 0)
	s.reason = append(s.reason, 0)
	s.values = append(s.values, open, open)
	s.watches = append(s.watches, nil, nil)
	s.rivals.first = append(s.rivals.first, 0, 0)
	s.phase = append(s.phase, true)
	s.first = append(s.first, true)
	s.seen = append(s.seen, false)
	s.order.grow()
	return Lit(2 * v)
}

// moreRoom makes room for so many variables more.
func (s *Solver) moreRoom(n int) {
	s.level, s.reason, s.values = slices.Grow(s.level, n), slices.Grow(s.reason, n), slices.Grow(s.values, 2*n)
	s.watches, s.rivals.first = slices.Grow(s.watches, 2*n), slices.Grow(s.rivals.first, 2*n)
	s.phase, s.first, s.seen = slices.Grow(s.phase, n), slices.Grow(s.first, n), slices.Grow(s.seen, n)
	s.order.place, s.order.activity = slices.Grow(s.order.place, n), slices.Grow(s.order.activity, n)
}

// Expect makes room for so many clauses more, with so many literals in all. It
// saves time, and is no promise.
func (s *Solver) Expect(clauses, literals int) {
	s.store = slices.Grow(s.store, head*clauses+literals)
	s.fresh = slices.Grow(s.fresh, clauses)
}

// Prefer says which value of a literal's variable is tried first: the one that
// makes the literal true.
func (s *Solver) Prefer(l Lit) { s.phase[l.Var()], s.first[l.Var()] = l.Negative(), l.Negative() }

// Prefers says whether a literal is tried as true first, or always true.
func Prefers(s *Solver, l Lit) bool { return l == True || s.first[l.Var()] == l.Negative() }

// raise makes a variable more active.
func (s *Solver) raise(v int, by float64) {
	quiet := s.order.activity[v] == 0
	s.order.activity[v] += by * s.bump
	switch {
	case !quiet:
		s.order.raise(v)
	case s.values[2*v] == open:
		s.order.add(v)
	}
}

// Value says whether the literal is true in the answer found last.
func (s *Solver) Value(l Lit) bool { return s.model[l.Var()] != l.Negative() }

// Never says whether it is known that no answer makes a literal true.
func Never(s *Solver, l Lit) bool { return s.values[l] == no && s.level[l.Var()] == 0 }

// Propagate draws what follows from the clauses without any choice, so that Never knows it.
func Propagate(s *Solver) {
	s.back(0)
	s.base = 0
	s.search++
	s.broken = s.propagate() != 0 || s.broken
}

// Level is how early the search came to the value of a literal in the answer
// that Check looks at: 0 without any choice, 1 by the assumptions if there are
// any, and more the later it was.
func (s *Solver) Level(l Lit) int { return int(s.level[l.Var()]) }

// Core is a set of assumptions of the last Solve that cannot all be true; empty
// where the clauses alone have no answer.
func (s *Solver) Core() []Lit { return s.core }

func (s *Solver) set(l Lit, why ref) {
	s.values[l], s.values[l.Not()] = yes, no
	s.level[l.Var()] = int32(len(s.limits))
	s.reason[l.Var()] = why
	s.trail = append(s.trail, l)
}

// back undoes everything above a level.
func (s *Solver) back(level int) {
	if len(s.limits) <= level {
		return
	}
	if level < int(s.base) {
		s.search++ // what followed from the assumptions follows anew
	}
	for i := len(s.trail) - 1; i >= s.limits[level]; i-- {
		l := s.trail[i]
		s.values[l], s.values[l.Not()] = open, open
		s.phase[l.Var()] = l.Negative()
		s.order.add(l.Var())
	}
	s.trail = s.trail[:s.limits[level]]
	s.limits = s.limits[:level]
	s.queue = len(s.trail)
}

// propagate draws what follows, and returns a clause that cannot hold, or 0.
func (s *Solver) propagate() ref {
	if len(s.fresh) > 0 {
		if r := s.watchFresh(); r != 0 {
			return r
		}
	}
	for s.queue < len(s.trail) {
		l := s.trail[s.queue]
		s.queue++
		r := exclude(s, l)
		if r == 0 {
			r = s.visit(l)
		}
		if r != 0 {
			s.queue = len(s.trail)
			return r
		}
	}
	return 0
}

// visit looks at the clauses that lose the literal whose negation became true.
// It is where the search spends its time, so it reads the store in place.
func (s *Solver) visit(l Lit) ref {
	list, values, store, lost := s.watches[l], s.values, s.store, l.Not()
	kept, looks := 0, int64(len(list))+1
	var clash ref
	for i := 0; i < len(list); i++ {
		w := list[i]
		if values[w.blocker] == yes {
			list[kept] = w
			kept++
			continue
		}
		if w.clause < 0 {
			list[kept] = w
			kept++
			if values[w.blocker] == no {
				kept += copy(list[kept:], list[i+1:])
				clash = -w.clause
				break
			}
			lits := store[head-w.clause:]
			lits[0], lits[1] = w.blocker, lost
			s.set(w.blocker, -w.clause)
			continue
		}
		lits := store[w.clause+head:][:store[w.clause]]
		if lits[0] == lost {
			lits[0], lits[1] = lits[1], lost
		}
		first := lits[0]
		state := values[first]
		if state == yes {
			list[kept] = watch{w.clause, first}
			kept++
			continue
		}
		end := unfixed(store, w.clause, s.search)
		next := notFalse(values, lits, end)
		looks += int64(next - 1)
		if next < end {
			lits[1], lits[next] = lits[next], lost
			s.watches[lits[1].Not()] = append(s.watches[lits[1].Not()], watch{w.clause, first})
			continue
		}
		if end > 8 && store[w.clause+4] != s.search {
			putFixedLast(s, w.clause)
		}
		list[kept] = watch{w.clause, first}
		kept++
		if state == no {
			kept += copy(list[kept:], list[i+1:])
			clash = w.clause
			break
		}
		s.set(first, w.clause)
	}
	s.watches[l] = list[:kept]
	s.Work += looks
	return clash
}
