package words

import (
	"testing"

	"bayhand/model/measure"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
	"bayhand/model/studio"
	"bayhand/recall/keep"
)

// A step at a cord that is in says the number on it, whichever way round its ends are; one
// that puts a cord in, or is about another cord, says none.
func TestNumbersOfCords(t *testing.T) {
	top, bottom, other := name.At("main", "t", 1), name.At("main", "b", 1), name.At("main", "b", 2)
	known := keep.Known{Cords: []keep.KnownCord{
		{Cord: patch.Cord{A: bottom, B: top}, Number: 12}, {Cord: patch.Cord{A: name.At("main", "t", 2), B: other}},
	}}
	w := In(&studio.Studio{})
	numbered := w.Numbered(known)
	for _, c := range []struct {
		words *Words
		step  plan.Step
		want  string
	}{
		{numbered, plan.Step{Do: plan.Pull, Ends: []name.Point{top, bottom}, Length: 30 * measure.Centimetre}, "30 cm, no. 12"},
		{numbered, plan.Step{Do: plan.Pull, Ends: []name.Point{top, bottom}}, "no. 12"},
		{numbered, plan.Step{Do: plan.Pull, Ends: []name.Point{name.At("main", "t", 2), other}}, ""},
		{numbered, plan.Step{Do: plan.Plug, Ends: []name.Point{top, other}, Length: 60 * measure.Centimetre}, "60 cm"},
		{w, plan.Step{Do: plan.Pull, Ends: []name.Point{top, bottom}, Length: 30 * measure.Centimetre}, "30 cm"},
	} {
		if got := c.words.Line(c.step).Length; got != c.want {
			t.Errorf("%s %v: %q, not %q", c.step.Do, c.step.Ends, got, c.want)
		}
	}
}
