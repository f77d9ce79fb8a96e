package arrange

import "math"

// assignment is a least-cost perfect matching of n rows with n columns, with dual
// prices that prove it: rows[r][c] >= rowPrice[r] + columnPrice[c] for all, and
// equal for what is matched. Found by shortest augmenting paths (Jonker and
// Volgenant, A shortest augmenting path algorithm for dense and sparse linear
// assignment problems, Computing 38, 1987), in O(n^3) steps from nothing and
// O(n^2) after one row has become dearer.
type assignment struct {
	// rows are the costs; rows that cost the same may be one slice.
	rows                  [][]int64
	columnOf, rowOf       []int
	rowPrice, columnPrice []int64
	// work of one search, made once.
	distance []int64
	from     []int
	done     []bool
}

const unmatched = -1

func newAssignment(rows [][]int64) *assignment {
	n := len(rows)
	a := &assignment{
		rows: rows, columnOf: make([]int, n), rowOf: make([]int, n), rowPrice: make([]int64, n), columnPrice: make([]int64, n),
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
	cheapest := make([]int, n)
	for c := range n {
		a.columnPrice[c] = math.MaxInt64
	}
	for r, row := range a.rows {
		for c, cost := range row {
			if cost < a.columnPrice[c] {
				a.columnPrice[c], cheapest[c] = cost, r
			}
		}
	}
	for c := n - 1; c >= 0; c-- {
		if r := cheapest[c]; a.columnOf[r] == unmatched {
			a.columnOf[r], a.rowOf[c] = c, r
		}
	}
}

// augment matches one more row, along the shortest path to a free column by
// reduced costs (Dijkstra's).
func (a *assignment) augment(row int) {
	for c := range a.distance {
		a.distance[c], a.done[c] = math.MaxInt64, false
	}
	end, least := a.extend(row, -a.rowPrice[row]), int64(0)
	for {
		a.done[end], least = true, a.distance[end]
		r := a.rowOf[end]
		if r == unmatched {
			break
		}
		end = a.extend(r, least-a.reduced(r, end)-a.rowPrice[r])
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
	return a.rows[r][c] - a.rowPrice[r] - a.columnPrice[c]
}

// extend takes the ways on from a row, to which base is the way without its price, and
// is the column of the least distance that is not done; of several a free one.
func (a *assignment) extend(r int, base int64) (nearest int) {
	nearest = unmatched
	least := int64(math.MaxInt64)
	row, prices, done, distance := a.rows[r], a.columnPrice, a.done, a.distance
	for c := range row {
		if done[c] {
			continue
		}
		d := distance[c]
		if way := base + row[c] - prices[c]; way < d {
			d, distance[c], a.from[c] = way, way, r
		}
		if nearest == unmatched || d < least || d == least && a.rowOf[c] == unmatched && a.rowOf[nearest] != unmatched {
			nearest, least = c, d
		}
	}
	return nearest
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
		sum += a.rows[r][c]
	}
	return sum
}

// grown is the assignment after a row has become dearer. It leaves a as it is.
func (a *assignment) grown(row int, costs []int64) *assignment {
	n := len(a.rowOf)
	b := &assignment{
		rows: clone(a.rows), columnOf: clone(a.columnOf), rowOf: clone(a.rowOf), rowPrice: clone(a.rowPrice), columnPrice: clone(a.columnPrice),
		distance: make([]int64, n), from: make([]int, n), done: make([]bool, n),
	}
	b.rows[row] = costs
	b.rowOf[b.columnOf[row]], b.columnOf[row] = unmatched, unmatched
	b.augment(row)
	return b
}

func clone[T any](s []T) []T { return append([]T(nil), s...) }
