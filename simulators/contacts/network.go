package contacts

import (
	"errors"
	"fmt"
	"math"

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

// resistor stands between two nodes; either may be ground.
type resistor struct {
	a, b Node
	r    Ohm
}

const ground Node = -1

// source is one leg, or two of opposite voltage.
type source []leg

// leg is a voltage against another node, for the most part ground, behind a
// resistance.
type leg struct {
	at, back Node
	v        Volt
	r        Ohm
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

// Source adds a source of 1 V at a node, behind a resistance above zero, and
// returns its number, from 0.
func (n *Network) Source(at Node, r Ohm) int {
	return n.add(source{{at, ground, 1, r}})
}

// Balanced adds a source of 1 V between two nodes: half on each leg, against
// each other, each behind half of the resistance.
func (n *Network) Balanced(hot, cold Node, r Ohm) int {
	return n.add(source{{hot, ground, 0.5, r / 2}, {cold, ground, -0.5, r / 2}})
}

// Floating adds a source of 1 V from one node to another, as the winding of a
// transformer is: it has no part in ground.
func (n *Network) Floating(hot, cold Node, r Ohm) int {
	return n.add(source{{hot, cold, 1, r}})
}

func (n *Network) add(s source) int {
	n.sources = append(n.sources, s)
	return len(n.sources) - 1
}

// Solved is a network whose response to each of its sources is known.
type Solved struct {
	sources []source
	// response holds in row i, column k the voltage of node i while source k is
	// on and all others are at 0 V.
	response *mat.Dense
	factors  *mat.Cholesky
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
		for _, leg := range s {
			currents.Set(int(leg.at), k, currents.At(int(leg.at), k)+float64(leg.v)/float64(leg.r))
			if leg.back != ground {
				currents.Set(int(leg.back), k, currents.At(int(leg.back), k)-float64(leg.v)/float64(leg.r))
			}
		}
	}
	solved := &Solved{sources: n.sources, response: new(mat.Dense), factors: &factors}
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
	for i := range n.nodes {
		conduct(g, Node(i), ground, insulation)
	}
	for _, r := range n.resistors {
		if err := r.check(); err != nil {
			return nil, err
		}
		conduct(g, r.a, r.b, r.r)
	}
	for _, s := range n.sources {
		for _, leg := range s {
			if err := (resistor{leg.at, leg.back, leg.r}).check(); err != nil {
				return nil, err
			}
			conduct(g, leg.at, leg.back, leg.r)
		}
	}
	return g, nil
}

func (r resistor) check() error {
	if !(r.r > 0) {
		return fmt.Errorf("a resistance of %g ohm between nodes %d and %d; only those above 0 can be solved", float64(r.r), r.a, r.b)
	}
	return nil
}

// conduct adds a resistance to the conductances. Both its ends on one piece of
// metal carry no current.
func conduct(g *mat.SymDense, a, b Node, r Ohm) {
	if a == b {
		return
	}
	value := 1 / float64(r)
	add := func(i, j Node, value float64) { g.SetSym(int(i), int(j), g.At(int(i), int(j))+value) }
	if a != ground {
		add(a, a, value)
	}
	if b != ground {
		add(b, b, value)
	}
	if a != ground && b != ground {
		add(a, b, -value)
	}
}

// Voltage is the potential of a node while one source is on and all others are
// at 0 V.
func (s *Solved) Voltage(at Node, source int) Volt {
	if s.response == nil || at == ground {
		return 0
	}
	return Volt(s.response.At(int(at), source))
}

// Into is the current that flows into the first leg of source k while source by
// is on.
func (s *Solved) Into(k, by int) Ampere { return s.into(s.sources[k][0], k == by, by) }

func (s *Solved) into(leg leg, itself bool, by int) Ampere {
	v := s.Voltage(leg.at, by) - s.Voltage(leg.back, by)
	if itself {
		v -= leg.v
	}
	return Ampere(float64(v) / float64(leg.r))
}

// Fight is the current that source by drives into a leg of source k, as a part
// of what it would be if the two were alone and joined: 0 where no metal joins
// them.
func (s *Solved) Fight(k, by int) float64 {
	most := 0.0
	for _, leg := range s.sources[k] {
		for _, other := range s.sources[by] {
			alone := math.Abs(float64(other.v)) / float64(leg.r+other.r)
			most = max(most, math.Abs(float64(s.into(leg, false, by)))/alone)
		}
	}
	return most
}
