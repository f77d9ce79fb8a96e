package arrange

import "testing"

// flowsOf is the flow of one between what is joined.
func flowsOf(n int, joined func(a, b int) bool) [][]int64 {
	flow := make([][]int64, n)
	for a := range flow {
		flow[a] = make([]int64, n)
		for b := range flow[a] {
			if a != b && (joined(a, b) || joined(b, a)) {
				flow[a][b] = 1
			}
		}
	}
	return flow
}

// Published optima of the row with blocks of one width, the linear arrangement of a
// graph: of the hypercube of d dimensions 2^(d-1) (2^d - 1) (Harper, Optimal assignments
// of numbers to vertices, Journal of the SIAM 12, 1964); of the complete graph
// (n^3 - n) / 6, of the cycle 2 (n - 1), of the star floor(n^2 / 4), each by hand as
// well. The formulas are from memory, and small enough to be counted.
func TestPublishedRows(t *testing.T) {
	cases := []struct {
		name    string
		n       int
		joined  func(a, b int) bool
		optimum int64
	}{
		{"cube of 3 dimensions", 8, func(a, b int) bool { d := a ^ b; return d&(d-1) == 0 }, 28},
		{"complete graph of 10", 10, func(a, b int) bool { return true }, 165},
		{"cycle of 11", 11, func(a, b int) bool { return (a+1)%11 == b }, 20},
		{"star of 12", 12, func(a, b int) bool { return a == 0 }, 36},
		{"path of 12", 12, func(a, b int) bool { return a+1 == b }, 11},
	}
	for _, c := range cases {
		widths := make([]int64, c.n)
		for n := range widths {
			widths[n] = 1
		}
		flow := flowsOf(c.n, c.joined)
		if got := length(exactOrder(widths, flow), widths, flow); got != 2*c.optimum {
			t.Errorf("%s: %g, published is %d", c.name, float64(got)/2, c.optimum)
		}
		if got := length(exchangedOrder(widths, flow), widths, flow); got < 2*c.optimum {
			t.Errorf("%s: exchanges find %g, less than the published optimum %d", c.name, float64(got)/2, c.optimum)
		}
	}
}
