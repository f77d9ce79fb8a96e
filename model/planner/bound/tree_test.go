package bound

import (
	"math/bits"
	"math/rand/v2"
	"testing"
)

// The cheapest ways to some ends together cost what the cheapest of all sets of arcs costs
// that leads to each of them, in networks so small that all sets can be tried.
func TestTreeIsTheCheapest(t *testing.T) {
	const vertices, arcs = 5, 10
	tr := tree{prices: newPrices(things{})}
	ways := 0
	for seed := range uint64(300) {
		dice := rand.New(rand.NewPCG(seed, 1))
		n := &network{into: make([][]int32, vertices), out: make([][]int32, vertices), near: make([]int, vertices)}
		for i := range arcs {
			a := arc{from: int32(dice.IntN(vertices)), to: int32(dice.IntN(vertices)), uses: [4]int32{none}, kind: none, cost: int32(dice.IntN(5))}
			n.arcs = append(n.arcs, a)
			n.into[a.to] = append(n.into[a.to], int32(i))
		}
		for i, a := range n.arcs {
			n.out[a.from] = append(n.out[a.from], int32(i))
		}
		ends := []int{1, 2, 3}[:1+dice.IntN(3)]
		got, want := tr.grow(n, ends, far), far
		for set := range uint(1 << arcs) {
			if leads(n, set, ends) {
				want = min(want, priceOf(n, set))
			}
		}
		if want == far {
			if got < far {
				t.Errorf("seed %d: %d, and there is no way", seed, got)
			}
			continue
		}
		ways++
		(&leasts{prices: tr.prices}).near(n, got)
		if known := tr.grow(n, ends, got); known != got {
			t.Errorf("seed %d: %d, and %d where that is known", seed, got, known)
		}
		set := uint(0)
		tr.walk(1<<len(ends)-1, n.root, func(i int) { set |= 1 << i })
		if got != want || priceOf(n, set) != want || !leads(n, set, ends) {
			t.Errorf("seed %d: %d by arcs %b, want %d", seed, got, set, want)
		}
	}
	if ways < 100 {
		t.Errorf("only %d networks have ways", ways)
	}
}

func priceOf(n *network, set uint) int {
	total := 0
	for ; set > 0; set &= set - 1 {
		total += int(n.arcs[bits.TrailingZeros(set)].cost)
	}
	return total
}

// leads says whether some arcs lead from the root to each of some ends.
func leads(n *network, set uint, ends []int) bool {
	seen := uint(1) << n.root
	for range n.into {
		for rest := set; rest > 0; rest &= rest - 1 {
			a := n.arcs[bits.TrailingZeros(rest)]
			if seen>>a.from&1 == 1 {
				seen |= 1 << a.to
			}
		}
	}
	for _, e := range ends {
		if seen>>e&1 == 0 {
			return false
		}
	}
	return true
}
