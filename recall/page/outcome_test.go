package page

import (
	"testing"

	"bayhand/model/name"
	"bayhand/model/plan"
	"bayhand/recall/keep"
)

// A step that was sent, and that the device was read not to have done, is none of those done.
func TestOutcomeCountsNoStepThatAReadingContradicts(t *testing.T) {
	out, in := func(n int) name.Point { return name.At("grid", "out", n) }, func(n int) name.Point { return name.At("grid", "in", n) }
	step := func(id string, n int) *plan.Step {
		return &plan.Step{ID: id, By: "grid", Do: plan.Switch, Crosspoints: []plan.Change{{Output: out(n), Input: in(n)}}}
	}
	run := []keep.Event{
		{Kind: keep.WasSent, Matrix: "grid", Step: step("1", 1)},
		{Kind: keep.WasRead, Matrix: "grid", Step: step("1", 1), Changes: []plan.Change{{Output: out(1), Input: in(1)}}},
		{Kind: keep.WasSent, Matrix: "grid", Step: step("2", 2)},
		{Kind: keep.WasRead, Matrix: "grid", Step: step("2", 2), Changes: []plan.Change{{Output: out(2)}}},
	}
	if got := outcome(run); got != "1 step done" {
		t.Errorf("it says %q", got)
	}
}
