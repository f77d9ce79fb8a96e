// Package matrix is the state of a simulated matrix: its size, which of its
// crosspoints are closed, the faults that were asked for, and what happened to
// it so far.
//
// A matrix has outputs and inputs, both counted from 1. A matrix of contacts
// may have any set of crosspoints closed; one of selectors lets each output
// listen to one input at most. Every change has a hand: the line (a message
// that arrived), the front (a person who turned it), or the power (which lets
// go of everything).
//
// The package does no I/O and knows no clock. It says nothing about bytes:
// simulators/scpi and simulators/answer turn messages into calls of a Matrix.
package matrix

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"sync"
)

// MaxSize is the largest number of inputs or outputs.
const MaxSize = 1024

// Output counts the outputs of a matrix from 1.
type Output int

// Input counts the inputs of a matrix from 1.
type Input int

// String is the output's name, such as out3.
func (o Output) String() string { return "out" + strconv.Itoa(int(o)) }

// String is the input's name, such as in5; off for 0.
func (i Input) String() string {
	if i == 0 {
		return "off"
	}
	return "in" + strconv.Itoa(int(i))
}

// Crosspoint is an output and an input that it can listen to.
type Crosspoint struct {
	Output Output
	Input  Input
}

// String is the crosspoint as faults and panels write it, such as out3:in5.
func (c Crosspoint) String() string { return c.Output.String() + ":" + c.Input.String() }

// Compare orders crosspoints by output, then by input.
func (c Crosspoint) Compare(d Crosspoint) int {
	return cmp.Or(cmp.Compare(c.Output, d.Output), cmp.Compare(c.Input, d.Input))
}

// Kind is what sets of crosspoints may be closed.
type Kind uint8

const (
	// KindUnknown is the zero value; no matrix has it.
	KindUnknown Kind = iota
	// Contacts are relays: any set of crosspoints may be closed.
	Contacts
	// Selectors let an output listen to one input at most.
	Selectors
)

func (k Kind) String() string {
	switch k {
	case Contacts:
		return "contacts"
	case Selectors:
		return "selectors"
	case KindUnknown:
	}
	return "unknown"
}

var (
	// ErrOutside is wrapped where a crosspoint lies outside the matrix.
	ErrOutside = errors.New("outside the matrix")
	// ErrRefused is wrapped where the fault "refuse" was asked for.
	ErrRefused = errors.New("refused, as the fault asks")
)

// Matrix is a simulated matrix. It is safe for concurrent use.
type Matrix struct {
	kind            Kind
	outputs, inputs int
	faults          Faults

	// mu guards the fields below.
	mu      sync.Mutex
	closed  map[Crosspoint]bool
	asked   int // changes asked for over the line, for the fault "refuse"
	begun   int // changes that were about to be made, for the fault "busy"
	awaited int // answers that could be announced, for the fault "wait"
	ganging int // changes asked for over the line, for the fault "split"
	mute    bool
	gangs   [][]Output
	labels  map[string]string
	history history
	watches map[chan struct{}]bool
}

// New makes a matrix with every crosspoint open, except those welded by a
// fault. Sizes are 1 to MaxSize.
func New(kind Kind, outputs, inputs int, faults Faults) (*Matrix, error) {
	if kind != Contacts && kind != Selectors {
		return nil, fmt.Errorf("a matrix of kind %s; the kinds are contacts and selectors", kind)
	}
	if outputs < 1 || inputs < 1 || outputs > MaxSize || inputs > MaxSize {
		return nil, fmt.Errorf("a matrix of %d inputs and %d outputs; each must be 1 to %d", inputs, outputs, MaxSize)
	}
	m := &Matrix{
		kind: kind, outputs: outputs, inputs: inputs, faults: faults,
		closed: map[Crosspoint]bool{}, watches: map[chan struct{}]bool{},
	}
	for _, c := range slices.Concat(faults.Stuck, faults.Welded) {
		if !m.Has(c) {
			return nil, fmt.Errorf("fault at %s: %w of %d inputs and %d outputs", c, ErrOutside, inputs, outputs)
		}
	}
	for _, c := range faults.Welded {
		m.closed[c] = true
	}
	return m, nil
}

// Kind is what the matrix is made of.
func (m *Matrix) Kind() Kind { return m.kind }

// Size is the number of outputs and of inputs.
func (m *Matrix) Size() (outputs, inputs int) { return m.outputs, m.inputs }

// Has says whether the crosspoint lies in the matrix.
func (m *Matrix) Has(c Crosspoint) bool {
	return c.Output >= 1 && int(c.Output) <= m.outputs && c.Input >= 1 && int(c.Input) <= m.inputs
}

// Closed says whether the crosspoint is closed; false outside the matrix.
func (m *Matrix) Closed(c Crosspoint) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.closed[c]
}

// State is every closed crosspoint, sorted; never nil.
func (m *Matrix) State() []Crosspoint {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.state()
}

func (m *Matrix) state() []Crosspoint {
	list := make([]Crosspoint, 0, len(m.closed))
	for c := range m.closed {
		list = append(list, c)
	}
	slices.SortFunc(list, Crosspoint.Compare)
	return list
}

// Listens is the input that an output listens to, the lowest where several are
// closed; 0 for none.
func (m *Matrix) Listens(o Output) Input {
	m.mu.Lock()
	defer m.mu.Unlock()
	for i := Input(1); int(i) <= m.inputs; i++ {
		if m.closed[Crosspoint{o, i}] {
			return i
		}
	}
	return 0
}
