package keep

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
)

// exists says whether the studio has the place: a jack, a port of gear, an input
// or output of a matrix.
func exists(s *studio.Studio, p name.Point) bool {
	return isJack(s, p) || isPort(s, p) || isMatrixPort(s, p)
}

// isJack says whether the place takes a plug: a jack of a bay or a socket of a
// box.
func isJack(s *studio.Studio, p name.Point) bool {
	return isSocket(s, p) || slices.ContainsFunc(s.Bays, func(b studio.Bay) bool {
		return b.Name == p.Owner && p.Number >= 1 && p.Number <= b.Pairs() &&
			p.Part == name.Whole && (p.Stem == studio.Top || p.Stem == studio.Bottom)
	})
}

func isSocket(s *studio.Studio, p name.Point) bool {
	return slices.ContainsFunc(s.Boxes, func(b studio.Box) bool {
		return b.Name == p.Owner && p.Number >= 1 && p.Number <= b.Sockets && p == b.Socket(p.Number)
	})
}

// hasPort says whether gear in the room has the port: the studio's, that of a
// guest of what is intended, or that of a guest whose lead is still in.
func (k *machine) hasPort(p name.Point) bool {
	if wanted := k.memory.Intent.together(k.studio); wanted != nil && isPort(&studio.Studio{Gear: wanted.Guests}, p) {
		return true
	}
	known := slices.ContainsFunc(k.memory.Known.Leads, func(l KnownLead) bool { return l.Port == p })
	return known || isPort(k.studio, p)
}

func isPort(s *studio.Studio, p name.Point) bool {
	return slices.ContainsFunc(s.Gear, func(g studio.Gear) bool {
		return g.Name == p.Owner && slices.ContainsFunc(g.Ports, func(q studio.Port) bool { return q.Point == p })
	})
}

func isMatrixPort(s *studio.Studio, p name.Point) bool {
	m, ok := matrixOf(s, p.Owner)
	if !ok || p.Number < 1 || p.Part != name.Whole {
		return false
	}
	return p.Stem == "in" && p.Number <= m.Inputs || p.Stem == "out" && p.Number <= m.Outputs
}
