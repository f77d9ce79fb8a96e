package level

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// circuit is a linear network for nodal analysis, (G + jwC) v = i. Node 0 is
// ground.
type circuit struct {
	nodes    int
	elements []element
	currents []current
}

// element is a conductance in siemens and a capacitance in farad, in parallel
// between two nodes.
type element struct {
	a, b   int
	g, cap float64
}

// current is what a source pushes from one node to another, in ampere.
type current struct {
	from, to int
	ampere   float64
}

// leak is from every node to ground, in siemens, so that what floats has a
// voltage: 1 Tohm.
const leak = 1e-12

func (c *circuit) resist(a, b int, ohm float64) {
	c.elements = append(c.elements, element{a: a, b: b, g: 1 / ohm})
}

func (c *circuit) hold(a, b int, farad float64) {
	if farad > 0 {
		c.elements = append(c.elements, element{a: a, b: b, cap: farad})
	}
}

func (c *circuit) push(from, to int, ampere float64) {
	c.currents = append(c.currents, current{from, to, ampere})
}

// voltages solves the network at a frequency in hertz; the voltage of node n
// stands at n. It takes time of the cube of the number of nodes. A complex
// system is solved as the real one of twice its size:
//
//	G  -wC   Re v   Re i
//	wC   G   Im v = Im i
func (c *circuit) voltages(hertz float64) []complex128 {
	n := c.nodes - 1
	size := 2 * n
	if hertz == 0 {
		size = n
	}
	left := mat.NewDense(size, size, nil)
	right := mat.NewVecDense(size, nil)
	c.stamp(left, 2*math.Pi*hertz)
	for _, i := range c.currents {
		if i.to > 0 {
			right.SetVec(i.to-1, right.AtVec(i.to-1)+i.ampere)
		}
		if i.from > 0 {
			right.SetVec(i.from-1, right.AtVec(i.from-1)-i.ampere)
		}
	}
	var lu mat.LU
	lu.Factorize(left)
	var solved mat.VecDense
	// The leak keeps the matrix regular; a bad condition is a warning.
	_ = lu.SolveVecTo(&solved, false, right)
	v := make([]complex128, c.nodes)
	for i := range n {
		im := 0.0
		if hertz > 0 {
			im = solved.AtVec(n + i)
		}
		v[i+1] = complex(solved.AtVec(i), im)
	}
	return v
}

// stamp enters all elements at an angular frequency.
func (c *circuit) stamp(m *mat.Dense, omega float64) {
	n := c.nodes - 1
	add := func(i, j int, g, b float64) {
		if i == 0 || j == 0 {
			return
		}
		i, j = i-1, j-1
		m.Set(i, j, m.At(i, j)+g)
		if omega > 0 {
			m.Set(n+i, n+j, m.At(n+i, n+j)+g)
			m.Set(i, n+j, m.At(i, n+j)-b)
			m.Set(n+i, j, m.At(n+i, j)+b)
		}
	}
	for i := 1; i <= n; i++ {
		add(i, i, leak, 0)
	}
	for _, e := range c.elements {
		if e.a == e.b {
			continue
		}
		b := omega * e.cap
		add(e.a, e.a, e.g, b)
		add(e.b, e.b, e.g, b)
		add(e.a, e.b, -e.g, -b)
		add(e.b, e.a, -e.g, -b)
	}
}
