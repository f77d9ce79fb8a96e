package exact

import (
	"math"
	"slices"
)

// rank is one of the things that plans are chosen by: the first that differs before all
// others. How plain a plan is, is decided by itself.
type rank int

const (
	plain    rank = iota // what a plain plan would do without
	handled              // plugs handled
	inBay                // plugs in the bay at the end, or those put in (search.byPut)
	broken               // normals broken
	changed              // outputs that listen to something else
	lastRank = changed
)

// weights are what something costs, by rank.
type weights [lastRank + 1]int

// endless is more than any patch costs.
var endless = weights{math.MaxInt}

// weighing are the weights of what costs so much of one rank.
func weighing(r rank, weight int) weights {
	var w weights
	w[r] = weight
	return w
}

func (w weights) plus(v weights) weights {
	for r := range w {
		w[r] += v[r]
	}
	return w
}

func (w weights) minus(v weights) weights {
	for r := range w {
		w[r] -= v[r]
	}
	return w
}

// common is the less of both in each rank.
func (w weights) common(v weights) weights {
	for r := range w {
		w[r] = min(w[r], v[r])
	}
	return w
}

// until says whether anything is weighed up to a rank.
func (w weights) until(r rank) bool { return w.upTo(r) != weights{} }

// upTo leaves out what comes after a rank.
func (w weights) upTo(r rank) weights {
	clear(w[r+1:])
	return w
}

// compare is below 0 where w comes first, in the order of ranks, above 0 where v does.
func (w weights) compare(v weights) int { return slices.Compare(w[:], v[:]) }
