package clause

import (
	"math/rand/v2"
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
		for range vars {
			s.Var()
		}
		var clauses [][]Lit
		random := func() Lit { return Lit(2*(1+r.IntN(vars)) + r.IntN(2)) }
		for step := range 6 {
			for range vars {
				c := []Lit{random(), random(), random()}[:1+min(2, r.IntN(6))]
				clauses = append(clauses, c)
				s.Add(c...)
			}
			var assumptions []Lit
			for range r.IntN(4) {
				assumptions = append(assumptions, random())
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
