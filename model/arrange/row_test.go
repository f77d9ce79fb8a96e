package arrange

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"testing"
)

// published is an instance with the optimum that papers give.
type published struct {
	name    string
	optimum float64
	widths  []int64
	flow    [][]int64
}

// instances reads those of a file: a line of name and optimum, widths, and flows.
func instances(t *testing.T, file string) (all []published) {
	t.Helper()
	src, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer src.Close()
	lines := bufio.NewScanner(src)
	next := func() string {
		for lines.Scan() {
			if line := strings.TrimSpace(lines.Text()); line != "" && line[0] != '#' {
				return line
			}
		}
		return ""
	}
	row := func() (all []int64) {
		for _, field := range strings.Fields(next()) {
			var n int64
			if _, err := fmt.Sscan(field, &n); err != nil {
				t.Fatal(err)
			}
			all = append(all, n)
		}
		return all
	}
	for line := next(); line != ""; line = next() {
		var p published
		if _, err := fmt.Sscan(line, &p.name, &p.optimum); err != nil {
			t.Fatal(err)
		}
		p.widths = row()
		for range p.widths {
			p.flow = append(p.flow, row())
		}
		all = append(all, p)
	}
	return all
}

// The published optima of the single-row layout are those of the dynamic program; moving
// one block at a time comes close to them and is never better.
func TestPublishedOptima(t *testing.T) {
	all := instances(t, "testdata/rows.txt")
	if len(all) != 8 {
		t.Fatalf("%d instances are read", len(all))
	}
	for _, p := range all {
		if got := float64(length(exactOrder(p.widths, p.flow, make([][]int, len(p.widths))), p.widths, p.flow)) / 2; got != p.optimum {
			t.Errorf("%s: %g, published is %g", p.name, got, p.optimum)
		}
		if got := float64(length(exchangedOrder(p.widths, p.flow, make([][]int, len(p.widths))), p.widths, p.flow)) / 2; got < p.optimum || got > 1.1*p.optimum {
			t.Errorf("%s: exchanges find %g, published is %g", p.name, got, p.optimum)
		}
	}
}

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
		if got := length(exactOrder(widths, flow, make([][]int, len(widths))), widths, flow); got != 2*c.optimum {
			t.Errorf("%s: %g, published is %d", c.name, float64(got)/2, c.optimum)
		}
		if got := length(exchangedOrder(widths, flow, make([][]int, len(widths))), widths, flow); got < 2*c.optimum {
			t.Errorf("%s: exchanges find %g, less than the published optimum %d", c.name, float64(got)/2, c.optimum)
		}
	}
}
