package keep

import (
	"bayhand/model/hand"
	"bayhand/model/name"
	"bayhand/model/studio"
)

// exists says whether the studio has the place: a jack, a port of gear, an input
// or output of a matrix.
func exists(s *studio.Studio, p name.Point) bool {
	return hand.TakesPlug(s, p) || hand.IsPort(s, p) || isMatrixPort(s, p)
}

// alone is a studio with what has a name and nothing else, in which places of that are found
// at once.
func alone(s *studio.Studio, called string) *studio.Studio {
	var one studio.Studio
	if b := s.BayNamed(called); b != nil {
		one.Bays = []studio.Bay{*b}
	}
	if g := s.GearNamed(called); g != nil {
		one.Gear = []studio.Gear{*g}
	}
	if m := s.MatrixNamed(called); m != nil {
		one.Matrices = []studio.Matrix{*m}
	}
	for _, b := range s.Boxes {
		if b.Name == called {
			one.Boxes = []studio.Box{b}
		}
	}
	return &one
}

func isMatrixPort(s *studio.Studio, p name.Point) bool {
	m, ok := matrixOf(s, p.Owner)
	if !ok || p.Number < 1 || p.Part != name.Whole {
		return false
	}
	return p.Stem == "in" && p.Number <= m.Inputs || p.Stem == "out" && p.Number <= m.Outputs
}
