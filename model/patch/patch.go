// Package patch holds everything in a room that can change: cords, leads,
// dummies and crosspoints.
//
// A cord joins two jacks of bays; with one end it hangs loose. A lead is a
// loose cable from a jack to a port of gear that is wired to no bay. A dummy is
// a plug without a cord. A crosspoint is one output of a matrix listening to
// one of its inputs.
//
// Values only: what a patch does is the business of package heard.
package patch

import (
	"slices"

	"bayhand/model/measure"
	"bayhand/model/name"
)

// Cord is a patch cord that is plugged at one end or both.
type Cord struct {
	// A and B are jacks; B is the zero Point on a cord that hangs loose.
	A, B name.Point
	// Length is 0 where nothing was said: the shortest owned that reaches.
	Length measure.Length
	// Poles is 2 or 3; 0 where nothing was said, which means 3.
	Poles int
}

// Ends are the jacks that the cord is in, one or two.
func (c Cord) Ends() []name.Point {
	if c.B.IsZero() {
		return []name.Point{c.A}
	}
	return []name.Point{c.A, c.B}
}

// Same says whether both cords are in the same jacks, either way round.
func (c Cord) Same(d Cord) bool {
	return c.A == d.A && c.B == d.B || c.A == d.B && c.B == d.A
}

// Lead is a gear cable: loose, from a port of gear that is not wired to a bay, to a jack.
type Lead struct {
	Port, Jack name.Point
}

// Crosspoint is one output of a matrix and the input it listens to.
type Crosspoint struct {
	Output, Input name.Point
}

// Compare orders crosspoints by output, then by input.
func (c Crosspoint) Compare(d Crosspoint) int {
	if order := c.Output.Compare(d.Output); order != 0 {
		return order
	}
	return c.Input.Compare(d.Input)
}

// Patch is everything that is in. What it does not name is out, off or open.
// A jack takes one plug; the readers see to it.
type Patch struct {
	Cords   []Cord
	Leads   []Lead
	Dummies []name.Point
	// Crosspoints are sorted by Compare. A matrix of amplifiers has at most one
	// input for an output; of a matrix of contacts more can be read back.
	Crosspoints []Crosspoint
}

// Clone is a copy that shares nothing with p.
func (p Patch) Clone() Patch {
	return Patch{
		Cords:       slices.Clone(p.Cords),
		Leads:       slices.Clone(p.Leads),
		Dummies:     slices.Clone(p.Dummies),
		Crosspoints: slices.Clone(p.Crosspoints),
	}
}

// Inputs are the inputs that the output listens to, in order. It takes time
// linear in the number of crosspoints.
func (p Patch) Inputs(output name.Point) []name.Point {
	var inputs []name.Point
	for _, c := range p.Crosspoints {
		if c.Output == output {
			inputs = append(inputs, c.Input)
		}
	}
	return inputs
}

// Of are the crosspoints of one matrix, in order.
func (p Patch) Of(matrix string) []Crosspoint {
	var mine []Crosspoint
	for _, c := range p.Crosspoints {
		if c.Output.Owner == matrix {
			mine = append(mine, c)
		}
	}
	return mine
}

// Plugs are the jacks that hold a plug: those of cords first, then of leads,
// then of dummies.
func (p Patch) Plugs() []name.Point {
	var jacks []name.Point
	for _, c := range p.Cords {
		jacks = append(jacks, c.Ends()...)
	}
	for _, l := range p.Leads {
		jacks = append(jacks, l.Jack)
	}
	return append(jacks, p.Dummies...)
}

// Sort puts the patch in its one order: cords by their first end, leads by
// port, dummies and crosspoints by name. The ends of a cord stay as they are.
func (p *Patch) Sort() {
	slices.SortStableFunc(p.Cords, func(a, b Cord) int {
		if order := a.A.Compare(b.A); order != 0 {
			return order
		}
		return a.B.Compare(b.B)
	})
	slices.SortStableFunc(p.Leads, func(a, b Lead) int { return a.Port.Compare(b.Port) })
	slices.SortFunc(p.Dummies, name.Point.Compare)
	slices.SortFunc(p.Crosspoints, Crosspoint.Compare)
}
