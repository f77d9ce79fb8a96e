package listen

import (
	"slices"

	"bayhand/model/name"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// Silent is gear that hears nothing since a matrix mutes it.
type Silent struct {
	Gear string
	// By is the output of the matrix that is off.
	By name.Point
}

// Silences are the loudspeakers and headphones of a studio that a matrix mutes, as it
// was read back: its output that mutes them is off, and the matrix answers. What was
// only sent to a matrix mutes nothing.
func Silences(s *studio.Studio, status keep.Status) []Silent {
	var found []Silent
	for _, g := range s.Gear {
		out := g.Mute.Output
		if g.Role == studio.RoleUnsaid || out.IsZero() || !answers(status, out.Owner) {
			continue
		}
		of := slices.DeleteFunc(slices.Clone(status.Known.Crosspoints), func(c keep.KnownCrosspoint) bool { return c.Output != out })
		if len(of) > 0 && !slices.ContainsFunc(of, func(c keep.KnownCrosspoint) bool { return c.How != keep.Read || !c.Input.IsZero() }) {
			found = append(found, Silent{g.Name, out})
		}
	}
	return found
}

func answers(status keep.Status, matrix string) bool {
	return slices.ContainsFunc(status.Matrices, func(m keep.MatrixStatus) bool { return m.Name == matrix && m.Answers })
}
