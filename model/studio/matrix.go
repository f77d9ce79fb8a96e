package studio

import (
	"slices"

	"bayhand/model/name"
)

// Matrix is a programmable router: inputs in1 to inN, outputs out1 to outM.
type Matrix struct {
	Name, Label     string
	Inputs, Outputs int
	Kind            MatrixKind
	// HighImpedance is true where an amplifier's output without a crosspoint lets go of
	// its net (unused: open); else it drives silence.
	HighImpedance bool
	PowerOff      PowerOff
	// Line is the kind of line of its inputs and OutputsLine that of its outputs;
	// without a name where the file does not say.
	Line, OutputsLine Line
	// Missing crosspoints do not exist in the hardware.
	Missing []Absent
	// Stereo are outputs that are switched together, each group in its order:
	// where the first listens to an input, the second listens to the one after
	// it, and so on.
	Stereo [][]name.Point
	// Device is nil for a matrix that nobody drives from here.
	Device *Device
}

// Absent is a crosspoint that the hardware lacks.
type Absent struct {
	Output, Input name.Point
}

// Gang are the outputs that are switched together with one of a matrix, itself among them,
// in their order; alone where there are no others.
func (s *Studio) Gang(output name.Point) []name.Point {
	if m := s.MatrixNamed(output.Owner); m != nil {
		for _, group := range m.Stereo {
			if slices.Contains(group, output) {
				return group
			}
		}
	}
	return []name.Point{output}
}

// In is input n.
func (m Matrix) In(n int) name.Point { return name.At(m.Name, "in", n) }

// Out is output n.
func (m Matrix) Out(n int) name.Point { return name.At(m.Name, "out", n) }

// MatrixKind is what a crosspoint is made of.
type MatrixKind uint8

const (
	// KindUnknown is the zero value, in no studio that was read.
	KindUnknown MatrixKind = iota
	// Amplifiers carry one way: each input listens, each output drives.
	Amplifiers
	// Contacts are relays: a closed crosspoint joins its input and output.
	Contacts
)

func (k MatrixKind) String() string {
	switch k {
	case Amplifiers:
		return "amplifiers"
	case Contacts:
		return "contacts"
	case KindUnknown:
	}
	return "unknown"
}

// PowerOff is what a matrix does without power.
type PowerOff uint8

const (
	// PowerOffUnknown is what nobody said.
	PowerOffUnknown PowerOff = iota
	// PowerOffOpen lets go of everything.
	PowerOffOpen
	// PowerOffHolds keeps its crosspoints.
	PowerOffHolds
)

// Device names the description and the link that a matrix is driven by.
type Device struct {
	Description string
	Link        string
	// Parameters are the description's, in the order of the file.
	Parameters []Parameter
}

// Parameter is one setting of a device.
type Parameter struct {
	Name, Value string
}
