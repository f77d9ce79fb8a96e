package device

import "slices"

// Gangs are outputs that the device moves together, whichever of them a message names:
// where the first of a gang listens to an input, the second listens to the one after
// it, and so on. Outputs in no gang move alone.
type Gangs struct {
	// Of is how many neighbours each gang has, from output 1 on; 0 for none, or where
	// Lists says which they are.
	Of int
	// Lists are the outputs of each gang, in its order, counted from 1.
	Lists [][]int
}

// Any says whether the device has gangs.
func (g Gangs) Any() bool { return g.Of > 0 || len(g.Lists) > 0 }

// All are the gangs of a device of so many outputs. Neighbours that do not make up a
// whole gang at the end are left out.
func (g Gangs) All(outputs int) [][]int {
	if g.Of == 0 {
		return g.Lists
	}
	var all [][]int
	for first := 1; first+g.Of-1 <= outputs; first += g.Of {
		gang := make([]int, g.Of)
		for i := range gang {
			gang[i] = first + i
		}
		all = append(all, gang)
	}
	return all
}

// Gang is the gang that an output is in, and its place there from 0; nil where it
// moves alone.
func (g Gangs) Gang(output, outputs int) (gang []int, place int) {
	if g.Of > 0 {
		first := (output-1)/g.Of*g.Of + 1
		if output < 1 || first+g.Of-1 > outputs {
			return nil, 0
		}
		gang = make([]int, g.Of)
		for i := range gang {
			gang[i] = first + i
		}
		return gang, output - first
	}
	for _, gang := range g.Lists {
		if place := slices.Index(gang, output); place >= 0 {
			return gang, place
		}
	}
	return nil, 0
}
