package problem

import (
	"slices"

	"bayhand/model/graph"
)

// MayHang says whether a cord may hang from a jack in a state of the room. None is left to hang
// from a line at microphone level or with phantom power, which would be open at the other
// plug; one that hangs now may stay.
func MayHang(t *Problem, s *graph.State, j int) bool {
	return HangsNow(t, j) || !s.Mic(s.NetOf(t.Jacks[j].Node))
}

// HangsNow says whether a cord hangs from a jack in the patch that is in.
func HangsNow(t *Problem, j int) bool {
	return slices.Contains(t.Present.Cords, [2]int{j, graph.None})
}
