package order_test

import (
	"slices"
	"testing"

	"bayhand/model/plan"
)

// Two steps of one matrix are two because something between them waits for the
// first and is waited for by the second, or is a loudspeaker's mute; or because
// the second opens what is only safe to open once the first has closed.
func TestAMatrixSwitchesAllItCanAtOnce(t *testing.T) {
	seen := tally{}
	for seed := range count(t, 150) {
		w := back(t, seed)
		w.arrange(t, seed)
		before := closure(w.plan.Steps)
		last := map[string]int{}
		for i, s := range w.plan.Steps {
			if s.Do != plan.Switch || w.mutes(s) {
				continue
			}
			seen["switch"]++
			k, had := last[s.By]
			last[s.By] = i
			if !had {
				continue
			}
			seen["switch again"]++
			if !w.parts(before, k, i) {
				t.Errorf("seed %d: %s and %s could be one step", seed, show(w.plan.Steps[k]), show(s))
			}
		}
	}
	seen.report(t, "switch")
}

const relays = `
studio: A room with two buses
gear:
  tape: {outputs: {out1: pro-line}}
  radio: {outputs: {out1: pro-line}}
  deck: {inputs: {in1-2: pro-line}}
bays:
  main: {pairs: 3, modes: {1-2: parallel, 3: isolated}}
matrices:
  grid: {inputs: 1, outputs: 2, kind: contacts}
wiring:
  - tape/out1 -> grid/in1
  - grid/out1-2 -> main/t1-2
  - main/b1-2 -> deck/in1-2
  - radio/out1 -> main/t3
`

// Tape and radio change places. A matrix of relays opens, a hand moves the cord, the
// matrix closes: in any other order two outputs are joined.
func TestAMatrixWaitsForAHandBetween(t *testing.T) {
	w := written(t, relays, "cords: [main/t3 - main/b2]\ncrosspoints: {grid: {out1: in1}}", "connect: [radio/out1 -> deck/in1, tape/out1 -> deck/in2]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{"grid switch out1:off(in1)", "person move main/t3 main/b2 to main/t3 main/t1 <1", "grid switch out2:in1 <2"}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are %q", got)
	}
}

// closure are all steps that must be done before each.
func closure(steps []plan.Step) map[string]map[string]bool {
	before := map[string]map[string]bool{}
	for _, s := range steps {
		all := map[string]bool{}
		for _, a := range s.After {
			all[a] = true
			for b := range before[a] {
				all[b] = true
			}
		}
		before[s.ID] = all
	}
	return before
}

// parts says whether two steps of a matrix must be apart.
func (w way) parts(before map[string]map[string]bool, first, second int) bool {
	a, b := w.plan.Steps[first], w.plan.Steps[second]
	for _, s := range w.plan.Steps[first+1 : second] {
		mutes := s.Do == plan.Mute || w.mutes(s)
		if before[b.ID][s.ID] && (mutes || s.By != a.By && before[s.ID][a.ID]) {
			return true
		}
	}
	return before[b.ID][a.ID] && slices.ContainsFunc(a.Crosspoints, closes) && slices.ContainsFunc(b.Crosspoints, opens)
}

func closes(c plan.Change) bool { return !c.Input.IsZero() }
func opens(c plan.Change) bool  { return !c.Was.IsZero() }
