package arrange

import (
	"math/rand/v2"
	"testing"
)

func drawn(random *rand.Rand, n int, most int64) [][]int64 {
	cost := make([][]int64, n)
	for r := range cost {
		cost[r] = make([]int64, n)
		for c := range cost[r] {
			cost[r][c] = random.Int64N(most)
		}
	}
	return cost
}

// isProved checks the dual prices, which are the proof that a matching is the
// cheapest (complementary slackness of linear programs).
func isProved(t *testing.T, a *assignment) {
	t.Helper()
	dual := int64(0)
	for r, c := range a.columnOf {
		if a.rowOf[c] != r {
			t.Fatalf("row %d has column %d, which has row %d", r, c, a.rowOf[c])
		}
		if a.reduced(r, c) != 0 {
			t.Errorf("what is matched has slack %d", a.reduced(r, c))
		}
		dual += a.rowPrice[r] + a.columnPrice[c]
		for other := range a.rowOf {
			if a.reduced(r, other) < 0 {
				t.Fatalf("row %d and column %d cost less than their prices", r, other)
			}
		}
	}
	if dual != a.total() {
		t.Errorf("the prices sum to %d, the matching costs %d", dual, a.total())
	}
}

func TestAssignmentIsProved(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 500 {
		n := 1 + random.IntN(40)
		cost := drawn(random, n, 1+random.Int64N(100))
		a := newAssignment(cost)
		isProved(t, a)
		// One matched pair becomes dearer, again and again.
		for range 4 {
			row := random.IntN(n)
			dearer := clone(a.rows[row])
			dearer[a.columnOf[row]] += random.Int64N(50)
			a = a.grown(row, dearer)
			isProved(t, a)
		}
	}
}

// The sums of all six permutations, by hand: 18, 15, 17, 16, 16, 18.
func TestAssignmentByHand(t *testing.T) {
	a := newAssignment([][]int64{{8, 4, 7}, {5, 2, 3}, {9, 4, 8}})
	if got := a.total(); got != 15 {
		t.Errorf("%d, and by all permutations the least is 15 (8 + 3 + 4)", got)
	}
}
