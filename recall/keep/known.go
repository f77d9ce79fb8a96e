package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// clone shares nothing with k.
func (k Known) clone() Known {
	return Known{
		Cords:       slices.Clone(k.Cords),
		Leads:       slices.Clone(k.Leads),
		Dummies:     slices.Clone(k.Dummies),
		Crosspoints: slices.Clone(k.Crosspoints),
	}
}

// Patch is what is known, without how.
func (k Known) Patch() patch.Patch {
	var p patch.Patch
	for _, c := range k.Cords {
		p.Cords = append(p.Cords, c.Cord)
	}
	for _, l := range k.Leads {
		p.Leads = append(p.Leads, l.Lead)
	}
	for _, d := range k.Dummies {
		p.Dummies = append(p.Dummies, d.Jack)
	}
	for _, c := range k.Crosspoints {
		if !c.Input.IsZero() {
			p.Crosspoints = append(p.Crosspoints, patch.Crosspoint{Output: c.Output, Input: c.Input})
		}
	}
	p.Sort()
	return p
}

// Plugged is how the cord, lead or dummy at some ends, in any order, is known; false
// where it is not among what is in.
func (k Known) Plugged(ends []name.Point) (How, bool) {
	same := func(all ...name.Point) bool {
		return len(all) == len(ends) && !slices.ContainsFunc(all, func(p name.Point) bool { return !slices.Contains(ends, p) })
	}
	for _, c := range k.Cords {
		if same(c.Ends()...) {
			return c.How, true
		}
	}
	for _, l := range k.Leads {
		if same(l.Port, l.Jack) {
			return l.How, true
		}
	}
	for _, d := range k.Dummies {
		if same(d.Jack) {
			return d.How, true
		}
	}
	return NotKnown, false
}

// Facts are why the plugs in the bays and the crosspoints of the matrices are believed.
func (k Known) Facts() (bays, matrices []Fact) {
	for _, c := range k.Cords {
		bays = append(bays, c.Fact)
	}
	for _, l := range k.Leads {
		bays = append(bays, l.Fact)
	}
	for _, d := range k.Dummies {
		bays = append(bays, d.Fact)
	}
	for _, c := range k.Crosspoints {
		matrices = append(matrices, c.Fact)
	}
	return bays, matrices
}

// assume is a patch that nobody said.
func assume(p patch.Patch, since Fact) Known {
	var k Known
	for _, c := range p.Cords {
		k.Cords = append(k.Cords, KnownCord{Cord: c, Fact: since})
	}
	for _, l := range p.Leads {
		k.Leads = append(k.Leads, KnownLead{l, since})
	}
	for _, j := range p.Dummies {
		k.Dummies = append(k.Dummies, KnownDummy{j, since})
	}
	return k
}

// OrRest is what a room is known to be in; where nobody has said anything of its bay, or
// of an output, that is the rest patch, assumed.
func (m Memory) OrRest(s *studio.Studio) Known {
	known, fact := m.Known.of(s), Fact{How: Assumed}
	if !m.BayTold {
		bay := assume(s.Rest, fact)
		known.Cords, known.Leads, known.Dummies = bay.Cords, bay.Leads, bay.Dummies
	}
	known.fill(s, fact)
	return known
}

// of is what is known of a studio that may have changed since: without outputs of matrices
// that it no longer has. What an output listens to whose input is gone is not known. Plugs
// stay, wherever they are: somebody has to unplug them. A nil studio is one that cannot be
// read.
func (k Known) of(s *studio.Studio) Known {
	k = k.clone()
	if s == nil {
		return k
	}
	k.Crosspoints = slices.DeleteFunc(k.Crosspoints, func(c KnownCrosspoint) bool { return !isMatrixPort(s, c.Output) })
	for i, c := range k.Crosspoints {
		if !c.Input.IsZero() && !isMatrixPort(s, c.Input) {
			k.Crosspoints[i].Input, k.Crosspoints[i].How = name.Point{}, NotKnown
		}
	}
	return k
}

// inputs are what an output listens to, and how that is known; off is none.
func (k Known) inputs(output name.Point) ([]name.Point, Fact) {
	var inputs []name.Point
	fact := Fact{How: Assumed}
	for _, c := range k.Crosspoints {
		if c.Output != output {
			continue
		}
		fact = c.Fact
		if !c.Input.IsZero() {
			inputs = append(inputs, c.Input)
		}
	}
	return inputs, fact
}

// set makes an output listen to inputs. What was known in the same way before
// keeps its time. It says whether anything is new.
func (k *Known) set(output name.Point, inputs []name.Point, fact Fact) bool {
	before, how := k.inputs(output)
	known := slices.ContainsFunc(k.Crosspoints, func(c KnownCrosspoint) bool { return c.Output == output })
	if known && how.How == fact.How && slices.Equal(before, inputs) {
		return false
	}
	k.Crosspoints = slices.DeleteFunc(slices.Clone(k.Crosspoints), func(c KnownCrosspoint) bool { return c.Output == output })
	if len(inputs) == 0 {
		inputs = []name.Point{{}}
	}
	for _, input := range inputs {
		k.Crosspoints = append(k.Crosspoints, KnownCrosspoint{output, input, fact})
	}
	k.sort()
	return true
}

func (k *Known) sort() {
	slices.SortFunc(k.Crosspoints, func(a, b KnownCrosspoint) int {
		return patch.Crosspoint{Output: a.Output, Input: a.Input}.Compare(patch.Crosspoint{Output: b.Output, Input: b.Input})
	})
}

// read takes in what a device answered, every output of it; those that are unclear
// are not known. It gives the outputs of which something is new.
func (k *Known) read(m studio.Matrix, closed []patch.Crosspoint, unclear []name.Point, fact Fact) []name.Point {
	p := patch.Patch{Crosspoints: slices.Clone(closed)}
	p.Sort()
	var fresh []name.Point
	for n := 1; n <= m.Outputs; n++ {
		of := fact
		if slices.Contains(unclear, m.Out(n)) {
			of.How = NotKnown
		}
		if k.set(m.Out(n), p.Inputs(m.Out(n)), of) {
			fresh = append(fresh, m.Out(n))
		}
	}
	return fresh
}

// doubt turns what is known in one of the ways into an assumption, on the
// outputs of one matrix. It says whether anything was.
func (k *Known) doubt(matrix string, fact Fact, ways ...How) bool {
	any := false
	k.Crosspoints = slices.Clone(k.Crosspoints)
	for i, c := range k.Crosspoints {
		if c.Output.Owner == matrix && slices.Contains(ways, c.How) {
			k.Crosspoints[i].Fact = fact
			any = true
		}
	}
	return any
}

// fill assumes what the rest patch says of outputs that nobody has said
// anything of.
func (k *Known) fill(s *studio.Studio, fact Fact) {
	for _, m := range s.Matrices {
		for n := 1; n <= m.Outputs; n++ {
			output := m.Out(n)
			if !slices.ContainsFunc(k.Crosspoints, func(c KnownCrosspoint) bool { return c.Output == output }) {
				k.set(output, s.Rest.Inputs(output), fact)
			}
		}
	}
}
