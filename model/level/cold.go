package level

import (
	"bayhand/model/disjoint"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// Ground is one thing that joins the cold leg of an output with ground.
type Ground struct {
	By GroundBy
	// At is the port, the jack of the plug, or the left end of the cable.
	At name.Point
	// AtSource is true where that is at the output's own end: at its port, or in
	// the plug of its cable.
	AtSource bool
}

// GroundBy is what grounds a cold leg.
type GroundBy uint8

const (
	// GroundUnknown is the zero value, in no Ground that was found.
	GroundUnknown GroundBy = iota
	// ByInput is an input that is not balanced.
	ByInput
	// ByOutput is another output that is not balanced.
	ByOutput
	// ByPlug is a plug without a contact for the leg, at a port or a cable.
	ByPlug
	// ByCable is a cable whose left end joins it with the shield.
	ByCable
	// ByCord is the two-pole plug of a cord, in a jack.
	ByCord
)

// coldGrounds are all things that ground the cold leg of an output; none for an
// output that is not balanced.
func (n *net) coldGrounds(output int) []Ground {
	out := n.outputs[output]
	if !out.known || !out.line.Balanced {
		return nil
	}
	cold := disjoint.New(n.places)
	for _, c := range n.cables {
		if c.carries() {
			cold.Join(c.a, c.b)
		}
	}
	joined := func(place int) bool { return cold.Joined(place, out.place) }
	var all []Ground
	add := func(place int, by GroundBy, at name.Point) {
		if joined(place) {
			all = append(all, Ground{by, at, at == out.point})
		}
	}
	for _, in := range n.inputs {
		if in.known && !in.line.Balanced {
			add(in.place, ByInput, in.point)
		}
	}
	for i, other := range n.outputs {
		if i != output && other.known && !other.line.Balanced {
			add(other.place, ByOutput, other.point)
		}
	}
	for _, p := range n.plugs {
		by := ByPlug
		if p.cord {
			by = ByCord
		}
		add(p.place, by, p.at)
	}
	for _, c := range n.cables {
		if c.cold == studio.ColdGrounded {
			add(c.a, ByCable, c.ends[0])
		}
	}
	return all
}
