package keep

import (
	"strings"
	"testing"

	"bayhand/model/plan"
	"bayhand/model/studio"
)

// Who ticks a step of a matrix is told which one does it by the name that people read.
func TestMatrixStepIsNoTick(t *testing.T) {
	s := &studio.Studio{Matrices: []studio.Matrix{{Name: "shade", Label: "monitor matrix"}, {Name: "relays"}}}
	for by, want := range map[string]string{"shade": "monitor matrix", "relays": "relays"} {
		if err := notByHand(s, plan.Step{ID: "2", By: by}); !strings.Contains(err.Error(), "step 2 belongs to "+want+" and") {
			t.Errorf("%s: %v", by, err)
		}
	}
}
