package rooms

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// gangOf are the crosspoints that close with one, by what the matrix switches
// together; none where one of them does not exist. The output may be any of its
// group.
func gangOf(m studio.Matrix, output, input int) []patch.Crosspoint {
	group, at := []name.Point{m.Out(output)}, 0
	for _, g := range m.Stereo {
		if i := slices.Index(g, m.Out(output)); i >= 0 {
			group, at = g, i
		}
	}
	var all []patch.Crosspoint
	for i, out := range group {
		in := input - at + i
		if in < 1 || in > m.Inputs || slices.Contains(m.Missing, studio.Absent{Output: out, Input: m.In(in)}) {
			return nil
		}
		all = append(all, patch.Crosspoint{Output: out, Input: m.In(in)})
	}
	return all
}

// GangOf are the crosspoints of the room that open and close with one, itself
// among them; none for one that does not exist.
func (r Room) GangOf(x patch.Crosspoint) []patch.Crosspoint {
	for _, m := range r.Studio.Matrices {
		if m.Name == x.Output.Owner {
			return gangOf(m, x.Output.Number, x.Input.Number)
		}
	}
	return nil
}

// follows says whether an output is switched by another one before it.
func follows(m studio.Matrix, output name.Point) bool {
	return slices.ContainsFunc(m.Stereo, func(g []name.Point) bool { return slices.Index(g, output) > 0 })
}
