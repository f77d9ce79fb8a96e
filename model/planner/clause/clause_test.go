package clause

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// brute asks every answer.
func brute(vars int, clauses [][]Lit) bool {
	for answer := range 1 << vars {
		all := true
		for _, c := range clauses {
			any := false
			for _, l := range c {
				any = any || (answer>>(l.Var()-1)&1 == 1) != l.Negative()
			}
			all = all && any
		}
		if all {
			return true
		}
	}
	return false
}

func TestAgainstBruteForce(t *testing.T) {
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 1))
		vars := 3 + r.IntN(8)
		s := New()
		s.Ladders = seed%2 == 1
		for range vars {
			s.Var()
		}
		var clauses [][]Lit
		random := func() Lit { return Lit(2*(1+r.IntN(vars)) + r.IntN(2)) }
		for step := range 6 {
			if step == 2 {
				var rivals []Lit
				for range r.IntN(9) {
					rivals = append(rivals, random())
				}
				AtMostOne(s, rivals)
				for i, l := range rivals {
					for _, k := range rivals[:i] {
						clauses = append(clauses, []Lit{l.Not(), k.Not()})
					}
				}
			}
			for range vars {
				c := []Lit{random(), random(), random()}[:1+min(2, r.IntN(6))]
				clauses = append(clauses, c)
				s.Add(c...)
			}
			var assumptions []Lit
			for range r.IntN(3) {
				assumptions = append(assumptions, random())
			}
			if seed%3 == 0 {
				propagates(t, s, vars, clauses, seed, step)
			}
			check(t, s, vars, clauses, assumptions, seed, step)
		}
	}
}

func check(t *testing.T, s *Solver, vars int, clauses [][]Lit, assumptions []Lit, seed uint64, step int) {
	t.Helper()
	with := func(more []Lit) [][]Lit {
		all := append([][]Lit{}, clauses...)
		for _, l := range more {
			all = append(all, []Lit{l})
		}
		return all
	}
	got := s.Solve(assumptions, -1)
	if want := brute(vars, with(assumptions)); (got == Yes) != want {
		t.Fatalf("seed %d step %d: answer %v, want %v", seed, step, got, want)
	}
	if got == No {
		if brute(vars, with(s.Core())) {
			t.Fatalf("seed %d step %d: the core %v has an answer", seed, step, s.Core())
		}
		return
	}
	for _, c := range with(assumptions) {
		held := false
		for _, l := range c {
			held = held || s.Value(l)
		}
		if !held {
			t.Fatalf("seed %d step %d: the answer breaks %v", seed, step, c)
		}
	}
}

// Nine pigeons do not go into eight holes.
// propagates holds what is known without any choice against brute force: no answer is otherwise, and
// all is known that a clause says by itself.
func propagates(t *testing.T, s *Solver, vars int, clauses [][]Lit, seed uint64, step int) {
	t.Helper()
	Propagate(s)
	if s.broken && brute(vars, clauses) {
		t.Fatalf("seed %d, step %d: said to have no answer", seed, step)
	}
	for l := Lit(2); l < Lit(2*vars+2) && !s.broken; l++ {
		if Never(s, l) && brute(vars, append(slices.Clone(clauses), []Lit{l})) {
			t.Fatalf("seed %d, step %d: an answer makes literal %d true, which is said never to be", seed, step, l)
		}
		if slices.ContainsFunc(clauses, func(c []Lit) bool { return len(c) == 1 && c[0] == l.Not() }) && !Never(s, l) {
			t.Fatalf("seed %d, step %d: literal %d is not known", seed, step, l)
		}
	}
}

func TestPigeons(t *testing.T) {
	s := pigeons(8, 7)
	if got := s.Solve(nil, -1); got != No {
		t.Errorf("answer %v", got)
	}
	if got := pigeons(11, 10).Solve(nil, 10000); got != Unknown {
		t.Errorf("with little work: answer %v", got)
	}
	if got := pigeons(7, 7).Solve(nil, -1); got != Yes {
		t.Errorf("as many holes as pigeons: answer %v", got)
	}
}

func pigeons(n, holes int) *Solver {
	s := New()
	in := make([][]Lit, n)
	for i := range in {
		for range holes {
			in[i] = append(in[i], s.Var())
		}
		s.Add(in[i]...)
	}
	for h := range holes {
		for i := range n {
			for j := range i {
				s.Add(in[i][h].Not(), in[j][h].Not())
			}
		}
	}
	return s
}

// What is known to be true or false is counted with the rest: of every list of five
// literals, each open, true or false, as many may be true as are allowed, and no more.
func TestCountingWithConstants(t *testing.T) {
	for kinds := range 243 {
		for k := range 4 {
			s, known := New(), 0
			var lits, open []Lit
			for at, rest := 0, kinds; at < 5; at, rest = at+1, rest/3 {
				l := []Lit{True, False, 0}[rest%3]
				if rest%3 == 2 {
					l = s.Var()
					open = append(open, l)
				}
				if l == True {
					known++
				}
				lits = append(lits, l)
			}
			AtMost(s, lits, k)
			may := max(0, min(len(open), k-known)) // so many of those open
			if known > k {
				if s.Solve(nil, -1) != No {
					t.Fatalf("%v: more than %d are true, and may be", lits, k)
				}
				continue
			}
			if s.Solve(open[:may], -1) != Yes || may < len(open) && s.Solve(open[:may+1], -1) != No {
				t.Fatalf("%v: not just %d may be true", lits, k)
			}
		}
		s := New()
		if e := Either(s, []Lit{[]Lit{True, False}[kinds%2], False}); (e == True) != (kinds%2 == 0) {
			t.Fatalf("either of constants is %v", e)
		}
	}
}

// Searches one after the other, each under assumptions of its own, find what a solver finds
// that has these as clauses: what was put aside in one search counts again in the next.
func TestManyAssumptions(t *testing.T) {
	no := 0
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 2))
		const vars, selectors = 30, 40
		s := New()
		for range vars + selectors {
			s.Var()
		}
		var clauses [][]Lit
		for range 150 {
			var c []Lit
			for range 3 {
				c = append(c, Lit(2*(1+r.IntN(vars))+r.IntN(2)))
			}
			for range r.IntN(3) {
				c = append(c, Lit(2*(1+vars+r.IntN(selectors))))
			}
			clauses = append(clauses, c)
			s.Add(c...)
		}
		for step := range 12 {
			var assumptions []Lit
			for v := range selectors {
				if r.IntN(20) > 0 {
					assumptions = append(assumptions, Lit(2*(1+vars+v)).Not())
				}
			}
			got, want := s.Solve(assumptions, -1), alone(vars+selectors, clauses, assumptions)
			if got != want {
				t.Fatalf("seed %d step %d: answer %v, and with the assumptions as clauses %v", seed, step, got, want)
			}
			if got == No {
				no++
				if alone(vars+selectors, clauses, s.Core()) != No {
					t.Fatalf("seed %d step %d: the core %v has an answer", seed, step, s.Core())
				}
			}
		}
	}
	if no < 300 {
		t.Errorf("only %d of 3600 searches found no answer", no)
	}
}

// alone asks a new solver, of which some literals are clauses.
func alone(vars int, clauses [][]Lit, units []Lit) Result {
	s := New()
	for range vars {
		s.Var()
	}
	for _, c := range clauses {
		s.Add(c...)
	}
	for _, l := range units {
		s.Add(l)
	}
	return s.Solve(nil, -1)
}

// What follows only from assumptions does not outlive them: in the search under them z is
// learned, and x is false by that; that y is true in consequence holds without the others
// alone.
func TestAssumptionsEnd(t *testing.T) {
	s := New()
	x, y, z, w := s.Var(), s.Var(), s.Var(), s.Var()
	long, others := []Lit{x, y}, []Lit{}
	for range 8 {
		a := s.Var()
		long, others = append(long, a), append(others, a.Not())
	}
	s.Add(long...)
	s.Add(z, w)
	s.Add(z, w.Not())
	s.Add(z.Not(), x.Not())
	if got := s.Solve(others, -1); got != Yes || !s.Value(y) {
		t.Fatalf("without the others: answer %v", got)
	}
	if got := s.Solve([]Lit{y.Not()}, -1); got != Yes {
		t.Errorf("with the others, y is said to be true: answer %v, core %v", got, s.Core())
	}
}
