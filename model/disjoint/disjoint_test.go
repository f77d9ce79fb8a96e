package disjoint

import (
	"testing"

	"pgregory.net/rapid"
)

// Two numbers are in one set exactly if joins lead from one to the other, as a search
// through the joins finds, and the root is the least of them.
func TestSetsAreWhatJoinsReach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "numbers")
		number := rapid.IntRange(0, n-1)
		sets, next := New(n), make([][]int, n)
		for range rapid.IntRange(0, 15).Draw(t, "joins") {
			a, b := number.Draw(t, "a"), number.Draw(t, "b")
			sets.Join(a, b)
			next[a], next[b] = append(next[a], b), append(next[b], a)
		}
		for from := range n {
			reached, least := make([]bool, n), from
			for queue := []int{from}; len(queue) > 0; queue = queue[1:] {
				if at := queue[0]; !reached[at] {
					reached[at], least = true, min(least, at)
					queue = append(queue, next[at]...)
				}
			}
			if sets.Root(from) != least {
				t.Fatalf("the root of %d is %d, not %d", from, sets.Root(from), least)
			}
			for to := range n {
				if sets.Joined(from, to) != reached[to] {
					t.Fatalf("%d and %d: joined %t, and a search says %t", from, to, sets.Joined(from, to), reached[to])
				}
			}
		}
	})
}
