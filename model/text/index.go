package text

import (
	"maps"
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// index finds the things of a studio by their names.
type index struct {
	gear     map[string]*studio.Gear
	bays     map[string]*studio.Bay
	boxes    map[string]*studio.Box
	matrices map[string]*studio.Matrix
	ports    map[name.Point]studio.Port
	missing  map[studio.Absent]bool
	wires    []studio.Wire
	// broken are gear, bays and matrices whose own description has mistakes; that
	// they lack a port may follow from those, and is not worth a word.
	broken map[string]bool
	// names are those of all gear, bays, boxes and matrices, once they were asked for.
	names []string
}

func newIndex(s *studio.Studio) *index {
	x := &index{gear: map[string]*studio.Gear{}, bays: map[string]*studio.Bay{}, boxes: map[string]*studio.Box{}, matrices: map[string]*studio.Matrix{}, ports: s.PortsByPoint(), wires: s.Wires, missing: map[studio.Absent]bool{}, broken: map[string]bool{}}
	for i := range s.Gear {
		x.gear[s.Gear[i].Name] = &s.Gear[i]
	}
	for i := range s.Bays {
		x.bays[s.Bays[i].Name] = &s.Bays[i]
	}
	for i := range s.Boxes {
		x.boxes[s.Boxes[i].Name] = &s.Boxes[i]
	}
	for i := range s.Matrices {
		x.matrices[s.Matrices[i].Name] = &s.Matrices[i]
		for _, a := range s.Matrices[i].Missing {
			x.missing[a] = true
		}
	}
	return x
}

// addGear takes gear that was read after the index was made.
func (x *index) addGear(g *studio.Gear) {
	x.gear[g.Name] = g
	for _, p := range g.Ports {
		x.ports[p.Point] = p
	}
	x.names = nil
}

func (x *index) owners() []string {
	if x.names == nil {
		x.names = slices.Collect(maps.Keys(x.gear))
		x.names = append(x.names, slices.Collect(maps.Keys(x.bays))...)
		x.names = append(x.names, slices.Collect(maps.Keys(x.boxes))...)
		x.names = append(x.names, slices.Collect(maps.Keys(x.matrices))...)
	}
	return x.names
}

// isBay says whether a name is that of a bay or a box.
func (x *index) isBay(owner string) bool { return x.bays[owner] != nil || x.boxes[owner] != nil }

// isLoose says whether a name is that of gear that stands loose.
func (x *index) isLoose(owner string) bool { return x.gear[owner] != nil && x.gear[owner].Loose }

func (x *index) has(owner string) bool {
	return x.gear[owner] != nil || x.isBay(owner) || x.matrices[owner] != nil
}

// kind is what a point of the studio is.
type kind uint8

const (
	noPoint kind = iota
	gearOutput
	gearInput
	jack
	socket
	matrixInput
	matrixOutput
)

func (k kind) String() string {
	switch k {
	case gearOutput:
		return "an output of gear"
	case gearInput:
		return "an input of gear"
	case jack:
		return "a jack of a bay"
	case socket:
		return "a socket of a box"
	case matrixInput:
		return "an input of a matrix"
	case matrixOutput:
		return "an output of a matrix"
	case noPoint:
	}
	return "nothing"
}
