package contacts

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// Ohm is a resistance.
type Ohm float64

// Volt is a potential against ground.
type Volt float64

// Ampere is a current.
type Ampere float64

// insulation is the resistance from every piece of metal to ground: no metal
// floats, and the equations always have one solution. 1 Gohm is what new
// connectors are commonly specified for: common practice, no published source.
const insulation Ohm = 1e9

// Node is a piece of metal in a network. Ground is none of them.
type Node int

// Network is resistors between nodes and ground, and sources that each have a
// resistance of their own.
type Network struct {
	nodes     int
	resistors []resistor
	sources   []source
}

type resistor struct {
	a, b Node // b is ground where it is negative
	r    Ohm
}

const ground Node = -1

type source struct {
	at Node
	r  Ohm
}

// Node adds a piece of metal.
func (n *Network) Node() Node {
	n.nodes++
	return Node(n.nodes - 1)
}

// Resistor joins two nodes through a resistance above zero.
func (n *Network) Resistor(a, b Node, r Ohm) {
	n.resistors = append(n.resistors, resistor{a, b, r})
}

// Load joins a node to ground through a resistance above zero.
func (n *Network) Load(a Node, r Ohm) { n.Resistor(a, ground, r) }

// Source adds a source at a node, behind a resistance above zero, and returns
// its number, from 0.
func (n *Network) Source(at Node, r Ohm) int {
	n.sources = append(n.sources, source{at, r})
	return len(n.sources) - 1
}

// Solved is a network whose response to each of its sources is known.
type Solved struct {
	sources []source
	// response holds in row i, column k the voltage of node i for 1 V at source
	// k and 0 V at the others.
	response *mat.Dense
}

// Solve finds the node voltages for each source by nodal analysis: the sum of
// the currents into each node is zero, so conductances times voltages are the
// sources' short-circuit currents. It takes time cubic in the nodes.
func (n *Network) Solve() (*Solved, error) {
	if n.nodes == 0 || len(n.sources) == 0 {
		return &Solved{sources: n.sources}, nil
	}
	conductance, err := n.conductances()
	if err != nil {
		return nil, err
	}
	// The matrix is symmetric and positive definite, since every node leaks to
	// ground.
	var factors mat.Cholesky
	if !factors.Factorize(conductance) {
		return nil, errors.New("the network's conductances are not positive definite; a resistance is wrong")
	}
	currents := mat.NewDense(n.nodes, len(n.sources), nil)
	for k, s := range n.sources {
		currents.Set(int(s.at), k, 1/float64(s.r))
	}
	solved := &Solved{sources: n.sources, response: new(mat.Dense)}
	if err := factors.SolveTo(solved.response, currents); err != nil {
		var condition mat.Condition
		// Contacts of 10 mohm beside insulation of 1 Gohm are badly conditioned on
		// purpose; what is asked is whether a voltage is there at all.
		if !errors.As(err, &condition) {
			return nil, fmt.Errorf("solving the network: %w", err)
		}
	}
	return solved, nil
}

func (n *Network) conductances() (*mat.SymDense, error) {
	g := mat.NewSymDense(n.nodes, nil)
	add := func(i, j Node, value float64) { g.SetSym(int(i), int(j), g.At(int(i), int(j))+value) }
	join := func(a, b Node, r Ohm) error {
		if !(r > 0) {
			return fmt.Errorf("a resistance of %g ohm between nodes %d and %d; only those above 0 can be solved", float64(r), a, b)
		}
		value := 1 / float64(r)
		add(a, a, value)
		if b == ground {
			return nil
		}
		add(b, b, value)
		if a != b {
			add(a, b, -value)
		}
		return nil
	}
	for i := range n.nodes {
		add(Node(i), Node(i), 1/float64(insulation))
	}
	for _, r := range n.resistors {
		if r.a == r.b {
			continue // both ends on one piece of metal: no current
		}
		if err := join(r.a, r.b, r.r); err != nil {
			return nil, err
		}
	}
	for _, s := range n.sources {
		if err := join(s.at, ground, s.r); err != nil {
			return nil, err
		}
	}
	return g, nil
}

// Voltage is the potential of a node for 1 V at the source and 0 V at all
// others.
func (s *Solved) Voltage(at Node, source int) Volt {
	if s.response == nil {
		return 0
	}
	return Volt(s.response.At(int(at), source))
}

// Voltages is the potential of a node when each source has the given voltage.
func (s *Solved) Voltages(at Node, sources []Volt) Volt {
	var sum Volt
	for k, v := range sources {
		sum += v * s.Voltage(at, k)
	}
	return sum
}

// Into is the current that flows into source k, for 1 V at source by.
func (s *Solved) Into(k, by int) Ampere {
	v := float64(s.Voltage(s.sources[k].at, by))
	if k == by {
		v--
	}
	return Ampere(v / float64(s.sources[k].r))
}
