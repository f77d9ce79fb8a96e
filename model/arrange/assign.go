package arrange

import "math"

// assignment is a least-cost perfect matching of n rows with n columns, with dual
// prices that prove it: cost(r, c) >= rowPrice[r] + columnPrice[c] for all, and
// equal for what is matched. Found by shortest augmenting paths (Jonker and
// Volgenant, A shortest augmenting path algorithm for dense and sparse linear
// assignment problems, Computing 38, 1987), in O(n^3) steps from nothing and
// O(n^2) after one cost has grown.
type assignment struct {
	cost                  func(r, c int) int64
	columnOf, rowOf       []int
	rowPrice, columnPrice []int64
	// work of one search, made once.
	distance []int64
	from     []int
	done     []bool
}

const unmatched = -1

func newAssignment(n int, cost func(r, c int) int64) *assignment {
	a := &assignment{
		cost: cost, columnOf: make([]int, n), rowOf: make([]int, n), rowPrice: make([]int64, n), columnPrice: make([]int64, n),
		distance: make([]int64, n), from: make([]int, n), done: make([]bool, n),
	}
	for i := range n {
		a.columnOf[i], a.rowOf[i] = unmatched, unmatched
	}
	a.reduceColumns()
	for r := range n {
		if a.columnOf[r] == unmatched {
			a.augment(r)
		}
	}
	return a
}

// reduceColumns gives each column the price of its cheapest row, and takes that
// row for it where it is free.
func (a *assignment) reduceColumns() {
	n := len(a.rowOf)
	for c := n - 1; c >= 0; c-- {
		best, row := int64(math.MaxInt64), 0
		for r := range n {
			if cost := a.cost(r, c); cost < best {
				best, row = cost, r
			}
		}
		a.columnPrice[c] = best
		if a.columnOf[row] == unmatched {
			a.columnOf[row], a.rowOf[c] = c, row
		}
	}
}

// augment matches one more row, along the shortest path to a free column by
// reduced costs (Dijkstra's).
func (a *assignment) augment(row int) {
	n := len(a.rowOf)
	for c := range n {
		a.distance[c], a.from[c], a.done[c] = a.reduced(row, c), row, false
	}
	end, least := unmatched, int64(0)
	for end == unmatched {
		at := a.nearest()
		a.done[at], least = true, a.distance[at]
		if a.rowOf[at] == unmatched {
			end = at
			break
		}
		r := a.rowOf[at]
		base := least - a.reduced(r, at)
		for c := range n {
			if a.done[c] {
				continue
			}
			if d := base + a.reduced(r, c); d < a.distance[c] {
				a.distance[c], a.from[c] = d, r
			}
		}
	}
	a.reprice(row, least)
	for c := end; ; {
		r := a.from[c]
		a.rowOf[c] = r
		a.columnOf[r], c = c, a.columnOf[r]
		if r == row {
			return
		}
	}
}

func (a *assignment) reduced(r, c int) int64 {
	return a.cost(r, c) - a.rowPrice[r] - a.columnPrice[c]
}

// nearest is the column of the least distance that is not done; of several a free
// one.
func (a *assignment) nearest() int {
	at := unmatched
	for c, d := range a.distance {
		if a.done[c] {
			continue
		}
		if at == unmatched || d < a.distance[at] || d == a.distance[at] && a.rowOf[c] == unmatched && a.rowOf[at] != unmatched {
			at = c
		}
	}
	return at
}

// reprice keeps the prices a proof after a search from a row.
func (a *assignment) reprice(row int, least int64) {
	a.rowPrice[row] += least
	for c, done := range a.done {
		if !done {
			continue
		}
		change := a.distance[c] - least
		a.columnPrice[c] += change
		if r := a.rowOf[c]; r != unmatched {
			a.rowPrice[r] -= change
		}
	}
}

// total is the cost of the matching.
func (a *assignment) total() int64 {
	sum := int64(0)
	for r, c := range a.columnOf {
		sum += a.cost(r, c)
	}
	return sum
}

// grown is the assignment after the cost of a row and its column, and of nothing
// else, has grown to what another cost function says. It leaves a as it is.
func (a *assignment) grown(row int, cost func(r, c int) int64) *assignment {
	n := len(a.rowOf)
	b := &assignment{
		cost: cost, columnOf: clone(a.columnOf), rowOf: clone(a.rowOf), rowPrice: clone(a.rowPrice), columnPrice: clone(a.columnPrice),
		distance: make([]int64, n), from: make([]int, n), done: make([]bool, n),
	}
	b.rowOf[b.columnOf[row]], b.columnOf[row] = unmatched, unmatched
	b.augment(row)
	return b
}

func clone[T any](s []T) []T { return append([]T(nil), s...) }
