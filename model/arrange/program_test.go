package arrange

import (
	"fmt"
	"strings"
)

// costsOf is the cost of a column with a normal and that without one; forbidden
// where there is none. The last number of a row is a blank.
func (p *problem) costsOf(o, i int) (normal, other int64) {
	normal, other = forbidden, forbidden
	for _, m := range modes {
		if cost := p.table[o][i][m]; isNormal(m) {
			normal = min(normal, cost)
		} else {
			other = min(other, cost)
		}
	}
	return normal, other
}

// asProgram is the assignment in the LP format: n_o_i is an output over an input with
// a normal, x_o_i without one. Each output and each input has one column; blanks
// stand in what is left.
func (p *problem) asProgram(cuts [][]pairing) []byte {
	d := p.demand
	var cost, binary []string
	rows, columns := make([][]string, d.outputs+1), make([][]string, d.inputs+1)
	add := func(kind string, o, i int, c int64) {
		if c >= forbidden || o == d.outputs && i == d.inputs {
			return
		}
		name := fmt.Sprintf("%s_%d_%d", kind, o, i)
		cost, binary = append(cost, fmt.Sprintf("%d %s", c, name)), append(binary, name)
		rows[o], columns[i] = append(rows[o], name), append(columns[i], name)
	}
	for o := range d.outputs + 1 {
		for i := range d.inputs + 1 {
			normal, other := p.costsOf(o, i)
			add("n", o, i, normal)
			add("x", o, i, other)
		}
	}
	var b strings.Builder
	fmt.Fprintf(&b, "Minimize\n obj: %s\nSubject To\n", joined(cost))
	for o, names := range rows[:d.outputs] {
		fmt.Fprintf(&b, " top%d: %s = 1\n", o, joined(names))
	}
	for i, names := range columns[:d.inputs] {
		fmt.Fprintf(&b, " bottom%d: %s = 1\n", i, joined(names))
	}
	// So many columns at most: inputs alone are what the outputs leave.
	if alone := rows[d.outputs]; len(alone) > 0 {
		fmt.Fprintf(&b, " count: %s <= %d\n", joined(alone), p.columns-d.outputs)
	}
	for n, cycle := range cuts {
		var names []string
		for _, c := range cycle {
			names = append(names, fmt.Sprintf("n_%d_%d", c.output, c.input))
		}
		fmt.Fprintf(&b, " cycle%d: %s <= %d\n", n, joined(names), len(names)-1)
	}
	fmt.Fprintf(&b, "Binary\n %s\nEnd\n", strings.Join(binary, "\n "))
	return []byte(b.String())
}

// joined is a sum, in lines that the format allows.
func joined(terms []string) string { return strings.Join(terms, "\n + ") }
