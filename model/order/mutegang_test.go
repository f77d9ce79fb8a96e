package order_test

import (
	"slices"
	"strings"
	"testing"
)

const mutedByGang = `
studio: A monitor matrix that switches left and right together
gear:
  tape: {outputs: {out1-4: pro-line}}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
  left: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out3}}
  right: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out4}}
bays:
  main: {pairs: 8, modes: {1-8: isolated}}
matrices:
  shade: {inputs: 4, outputs: 4, stereo: [[out1, out2], [out3, out4]]}
wiring:
  - tape/out1-4 -> main/t1-4
  - main/b1-4 -> shade/in1-4
  - shade/out1-2 -> speakers/in1-2
  - shade/out3 -> left/in1
  - shade/out4 -> right/in1
`

// Outputs that are switched together mute together and come back together, in one step, be
// it one loudspeaker that they mute or one each.
func TestOutputsThatAreSwitchedTogetherMuteTogether(t *testing.T) {
	w := written(t, mutedByGang, "cords: [main/t1 - main/b1, main/t2 - main/b2]\ncrosspoints: {shade: {out1: in1, out2: in2, out3: in1, out4: in2}}",
		"connect: [tape/out3-4 -> speakers/in1-2, tape/out3 -> left/in1, tape/out4 -> right/in1]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	got := lines(w.plan.Steps)
	for _, step := range got {
		for _, pair := range [][2]string{{"out1:", "out2:"}, {"out3:", "out4:"}} {
			if strings.Contains(step, pair[0]) != strings.Contains(step, pair[1]) {
				t.Errorf("%q switches one of outputs that are switched together, in\n%s", step, strings.Join(got, "\n"))
			}
		}
	}
	first := slices.IndexFunc(got, func(s string) bool { return strings.HasPrefix(s, "person") })
	for _, off := range []string{"out1:off", "out3:off"} {
		at := slices.IndexFunc(got, func(s string) bool { return strings.Contains(s, off) })
		if at < 0 || at > first {
			t.Errorf("%s is not before the first plug, in\n%s", off, strings.Join(got, "\n"))
		}
	}
}
