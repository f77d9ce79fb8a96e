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

func isMatrixPort(s *studio.Studio, p name.Point) bool {
	m, ok := matrixOf(s, p.Owner)
	if !ok || p.Number < 1 || p.Part != name.Whole {
		return false
	}
	return p.Stem == "in" && p.Number <= m.Inputs || p.Stem == "out" && p.Number <= m.Outputs
}
