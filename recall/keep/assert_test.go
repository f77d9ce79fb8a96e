package keep

import (
	"testing"

	"bayhand/model/plan"
	"bayhand/model/studio"
)

// What a device that cannot be asked is assumed to hold is sent first for a plan that is
// gone by, whether that was asked of the session that it is for, or of another one in
// other rooms.
func TestAssertedForEachSession(t *testing.T) {
	s := &studio.Studio{
		Name:     "Two rooms",
		Matrices: []studio.Matrix{{Name: "grid", Inputs: 2, Outputs: 2, Device: &studio.Device{Description: "made-up", Link: "tcp:grid:1"}}},
	}
	for _, c := range []struct {
		name                      string
		given, mainPartly, partly bool
		want                      int
	}{
		{"the whole of it", true, false, false, 1},
		{"part of it", false, false, true, 1},
		{"part of another one", false, true, false, 0},
		{"neither", false, false, false, 0},
	} {
		w := planning{studio: s, memory: Memory{WriteOnly: []string{"grid"}}}
		in := Intent{Session: "mixdown", Options: RecallOptions{Partly: c.mainPartly}, NextID: 1}
		m := w.adopted(in, way{plan: &plan.Plan{Given: c.given}, question: question{ask: plan.Request{Studio: s, Partly: c.partly}}}, false, Fact{How: Assumed})
		if len(m.Intent.Left) != c.want {
			t.Errorf("%s: %d steps are left, want %d", c.name, len(m.Intent.Left), c.want)
		}
	}
}
