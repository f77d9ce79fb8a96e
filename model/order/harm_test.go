package order_test

import "testing"

// The check can fail: where the steps wait for nothing, rooms come to harm.
func TestWithoutWaitingThereIsHarm(t *testing.T) {
	harmed := 0
	for seed := range uint64(60 / share) {
		w := back(t, seed)
		w.arrange(t, seed)
		before := w.replay(w.plan.Steps, true)
		for i := range w.plan.Steps {
			w.plan.Steps[i].After = nil
		}
		r := w.several(seed, tally{})
		if len(r.wrong)+len(r.clashes) > len(before.wrong)+len(before.clashes) {
			harmed++
		}
	}
	if harmed < 20/share {
		t.Errorf("only %d of %d rooms came to harm", harmed, 60/share)
	}
}
