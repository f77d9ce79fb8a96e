package order_test

import (
	"slices"
	"strings"
	"testing"

	"bayhand/model/plan"
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

// What the outputs feed that mute a loudspeaker, by a wire of their own or by one that is
// switched together with it, loses signal with the mute: the step names it, and what of it is
// to be kept.
func TestAMuteNamesWhatElseItSilences(t *testing.T) {
	for _, c := range []struct {
		what, muted, session, silences string
	}{
		{"what is switched together", `
gear:
  tape: {outputs: {out1-4: pro-line}}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
matrices:
  shade: {inputs: 4, outputs: 2, stereo: [[out1, out2]]}
wiring:
  - tape/out1-4 -> main/t1-4
  - main/b1-4 -> shade/in1-4
  - shade/out1 -> speakers/in1
  - shade/out2 -> recorder/in1
`, "connect: [tape/out3 -> speakers/in1]\nkeep: [tape/out2 -> recorder/in1]", "recorder/in1"},
		{"what the output itself feeds", `
gear:
  tape: {outputs: {out1-4: pro-line}}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
matrices:
  shade: {inputs: 4, outputs: 2}
wiring:
  - tape/out1-4 -> main/t1-4
  - main/b1-4 -> shade/in1-4
  - shade/out1 -> [speakers/in1, recorder/in1]
`, "connect: ['tape/out3 -> [speakers/in1, recorder/in1]']", "recorder/in1"},
		{"nothing", `
gear:
  tape: {outputs: {out1-4: pro-line}}
  speakers: {inputs: {in1-2: pro-line}, role: loudspeaker, mute: {by: shade/out1}}
  recorder: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
matrices:
  shade: {inputs: 4, outputs: 3, stereo: [[out1, out2]]}
wiring:
  - tape/out1-4 -> main/t1-4
  - main/b1-4 -> shade/in1-4
  - shade/out1-2 -> speakers/in1-2
  - shade/out3 -> recorder/in1
`, "connect: [tape/out3 -> speakers/in1]", ""},
	} {
		closed := "out1: in1, out2: in2, out3: in2"
		if !strings.Contains(c.muted, "outputs: 3") {
			closed = "out1: in1, out2: in2"
		}
		w := written(t, "studio: a monitor matrix that feeds more\n"+c.muted, "cords: [main/t1 - main/b1, main/t2 - main/b2]\ncrosspoints: {shade: {"+closed+"}}",
			c.session)
		w.arrange(t, 0)
		off := slices.IndexFunc(w.plan.Steps, func(s plan.Step) bool { return s.By == "shade" })
		if off < 0 {
			t.Fatalf("%s: nothing is muted in\n%s", c.what, strings.Join(lines(w.plan.Steps), "\n"))
		}
		step := w.plan.Steps[off]
		said := ""
		for _, in := range step.Silences {
			said += in.String()
		}
		if said != c.silences || strings.Contains(step.Because, "recorder/in1 loses signal, as the same outputs feed it") != (c.silences != "") {
			t.Errorf("%s: %v, because %s", c.what, step.Silences, step.Because)
		}
		if kept := strings.Contains(c.session, "keep"); kept != strings.HasSuffix(step.Because, "tape/out2 -> recorder/in1 is interrupted") {
			t.Errorf("%s: because %s", c.what, step.Because)
		}
	}
}
