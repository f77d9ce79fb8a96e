package order_test

import (
	"slices"
	"strings"
	"testing"
)

// knob is made up for these tests: left and right loudspeakers are gear of their own, and one
// cut mutes both; headphones have a knob of their own.
const knob = `
studio: One cut
gear:
  tape: {outputs: {out1-3: pro-line}}
  left: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
  right: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: person, at: monitor cut}}
  phones: {inputs: {in1: pro-line}, role: headphone, mute: {by: person, at: cue level}}
bays:
  main: {pairs: 3, modes: isolated}
wiring:
  - tape/out1-3 -> main/t1-3
  - main/b1 -> left/in1
  - main/b2 -> right/in1
  - main/b3 -> phones/in1
`

// What one knob turns up comes up when the last plug is in that it was down for, not when the
// first of its loudspeakers is ready.
func TestOneKnobWaitsForAllThatItTurnsUp(t *testing.T) {
	w := written(t, knob, "", "connect: [tape/out1 -> left/in1, tape/out2 -> right/in1, tape/out3 -> phones/in1]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{
		"person mute left/in1",
		"person mute right/in1",
		"person mute phones/in1",
		"person plug main/t1 main/b1 <1",
		"person plug main/t2 main/b2 <2",
		"person plug main/t3 main/b3 <3",
		"person unmute left/in1 <4 <5",
		"person unmute right/in1 <4 <5",
		"person unmute phones/in1 <6",
	}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s", strings.Join(got, "\n"))
	}
}
