package order

import (
	"fmt"
	"slices"

	"bayhand/model/studio"
)

// called is gear as people read it.
func called(g studio.Gear) string {
	if g.Label != "" {
		return g.Label
	}
	return g.Name
}

// whyMute says what would be heard from gear that is not muted before a unit.
func (w *writer) whyMute(g studio.Gear, u *unit) string {
	for _, r := range u.risks {
		if slices.Contains(r.quiets, g.Name) {
			return "on the way " + r.text
		}
	}
	if u.matrix != "" {
		return "nothing that " + w.matrixCalled(u.matrix) + " switches on the way is to be heard there"
	}
	return "a plug that goes in or out at " + u.touched[0].String() + " would click there"
}

// whySwitch says it of the first want that a matrix carries, and how many others
// there are.
func (u *unit) whySwitch() string {
	switch others := len(u.wants) - 1; {
	case others < 0:
		return u.because
	case others == 0:
		return u.wants[0]
	case others == 1:
		return u.wants[0] + ", and one more"
	default:
		return fmt.Sprintf("%s, and %d more", u.wants[0], others)
	}
}

func (w *writer) matrixCalled(matrix string) string {
	for _, m := range w.room.Studio().Matrices {
		if m.Name == matrix && m.Label != "" {
			return m.Label
		}
	}
	return matrix
}
