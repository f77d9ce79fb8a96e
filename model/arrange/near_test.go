package arrange

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// The exact order is the best of all in which what has to stand earlier does, and exchange
// is never better than it.
func TestOrderIsTheNearest(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		n := 1 + random.IntN(7)
		widths, flow := make([]int64, n), make([][]int64, n)
		for a := range widths {
			widths[a], flow[a] = 1+random.Int64N(8), make([]int64, n)
		}
		for a := range n {
			for b := range a {
				flow[a][b] = random.Int64N(5)
				flow[b][a] = flow[a][b]
			}
		}
		earlier := make([][]int, n)
		for a := range n {
			for b := range a {
				if random.IntN(8) == 0 {
					earlier[a] = append(earlier[a], b)
				}
			}
		}
		least := int64(-1)
		permutations(n, func(order []int) {
			for a, all := range earlier {
				for _, b := range all {
					if slices.Index(order, a) < slices.Index(order, b) {
						return
					}
				}
			}
			if l := length(order, widths, flow); least < 0 || l < least {
				least = l
			}
		})
		exact := length(exactOrder(widths, flow, earlier), widths, flow)
		if near := length(exchangedOrder(widths, flow, earlier), widths, flow); exact != least || near < least {
			t.Fatalf("%d exactly, %d by exchange; the best of all is %d", exact, near, least)
		}
	}
}

func permutations(n int, each func([]int)) {
	order := make([]int, 0, n)
	var place func()
	used := make([]bool, n)
	place = func() {
		if len(order) == n {
			each(order)
			return
		}
		for b := range n {
			if used[b] {
				continue
			}
			used[b], order = true, append(order, b)
			place()
			used[b], order = false, order[:len(order)-1]
		}
	}
	place()
}
