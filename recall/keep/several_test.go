package keep_test

import (
	"testing"
	"testing/synctest"
	"time"

	"bayhand/model/patch"
	"bayhand/recall/keep"
	"bayhand/simulators/matrix"
)

// A relay output can hold several inputs at once, by a hand at the panel or another
// program. It is brought to the one that a session asks for: the others are opened,
// the device is not said to have failed, and nothing is repeated.
func TestOutputWithSeveralInputs(t *testing.T) {
	h := newHouse(t)
	for _, inputs := range [][]int{{1, 2}, {1, 2, 3}, {2, 3, 4}, {1, 2, 3, 4}, {3, 4}} {
		synctest.Test(t, func(t *testing.T) {
			w := h.world(t)
			w.blind = true // the relays are joined by somebody else, and nobody looks at that
			for _, input := range inputs {
				if err := w.relays.Close(matrix.Front, matrix.Crosspoint{Output: 1, Input: matrix.Input(input)}); err != nil {
					t.Fatal(err)
				}
			}
			w.absorb()
			w.start(0)
			s, err := asked(w.keeper, keep.Act{Do: keep.ToRecall, Session: "crossed"})
			if err != nil {
				t.Errorf("with %v: %v", inputs, err)
			}
			w.doSome(s, 10)
			<-time.After(time.Minute)
			synctest.Wait()
			s, _ = w.keeper.Status(ctx)
			want := patch.Patch{Crosspoints: s.Plan.Target.Crosspoints}
			if got := (patch.Patch{Crosspoints: w.patch().Crosspoints}); text(got) != text(want) || s.Phase != keep.Given || len(s.Problems) > 0 {
				t.Errorf("with %v it is %s with %s, want %s; problems %v", inputs, s.Phase, text(got), text(want), s.Problems)
			}
			if n := w.store.Writes(); n > 40 {
				t.Errorf("with %v: %d writes", inputs, n)
			}
			w.stop()
		})
	}
}
