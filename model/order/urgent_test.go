package order_test

import (
	"slices"
	"strings"
	"testing"
)

// What joins outputs or closes a loop in the old patch goes first, before what only is not
// asked for; after loudspeakers that a plug clicks from, and in no chain before what feeds it.
func TestWhatHarmsNowGoesFirst(t *testing.T) {

	for _, c := range []struct {
		name, from, session string
		want                []string
	}{
		{"outputs are joined", "cords: [main/t1 - main/b5, main/t2 - main/b6, main/t3 - main/t4]", "", []string{
			"person pull main/t4 main/t3",
			"person pull main/b5 main/t1",
			"person pull main/b6 main/t2",
		}},
		{"a loop is closed", "cords: [main/t1 - main/b5, main/t6 - main/b6, main/t2 - main/b1]", "", []string{
			"person pull main/b6 main/t6",
			"person pull main/b1 main/t2",
			"person pull main/b5 main/t1",
		}},
		{"a loop through several is opened anywhere", "cords: [main/t1 - main/b3, main/t5 - main/b6, main/t6 - main/b5]", "", []string{
			"person pull main/b5 main/t6",
			"person pull main/b6 main/t5",
			"person pull main/b3 main/t1",
		}},
		{"a loop that is meant is not urgent", "cords: [main/t1 - main/b3, main/t6 - main/b6]", "allow: [loop box/in2]", []string{
			"person pull main/b3 main/t1",
			"person pull main/b6 main/t6",
		}},
		{"a loudspeaker is muted before", "cords: [main/t1 - main/b5, main/t2 - main/b8, main/t3 - main/t4]", "", []string{
			"person mute phones/in1",
			"person pull main/t4 main/t3",
			"person pull main/b5 main/t1",
			"person pull main/b8 main/t2 <1",
		}},
		{"an end is moved", "cords: [main/t1 - main/b5, main/t3 - main/t4]", "connect: [tape/out3 -> box/in2]", []string{
			"person move main/t3 main/t4 to main/t3 main/b6",
			"person pull main/b5 main/t1",
		}},
		{"a chain is made downstream all the same", "cords: [main/t1 - main/b1, main/t5 - main/t4]", "connect: [tape/out2 -> box/1 -> deck/in3]", []string{
			"person pull main/b1 main/t1",
			"person plug main/t2 main/b5",
			"person move main/t5 main/t4 to main/t5 main/b3",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			stepsAre(t, written(t, boathouse, c.from, c.session), c.want)
		})
	}
}

// A crosspoint that joins outputs is opened before the first plug, though others of its
// matrix wait for a hand.
func TestACrosspointThatHarmsWaitsForNoHand(t *testing.T) {
	onGrid := strings.NewReplacer("  - main/b8 -> phones/in1\n", "", "grid/out1-2 -> recorder/in1-2", "grid/out1 -> recorder/in1\n  - grid/out2 -> phones/in1").Replace(boathouse)
	w := written(t, onGrid, "cords: [main/t1 - main/b14, main/t2 - main/b15, main/t4 - main/b16]\ncrosspoints: {grid: {out1: [in1, in2]}}",
		"connect: [tape/out3 -> phones/in1]")
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{
		"grid switch out1:off(in1) out1:off(in2)",
		"person pull main/b15 main/t2",
		"person move main/b14 main/t1 to main/b14 main/t3 <2",
		"grid switch out2:in1 <3",
		"person pull main/b16 main/t4",
	}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s\nnot\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// What each leaves the harm as it is, such as two cords between the same outputs, goes first
// together.
func TestWhatHarmsTogetherGoesFirst(t *testing.T) {
	twice := strings.NewReplacer("gear:\n", "gear:\n  synth: {outputs: {out1-2: pro-line}}\n  rack: {channels: 1, line: pro-line}\n", "pairs: 16", "pairs: 20",
		"14-16: isolated", "14-16: isolated, 17-20: parallel", "wiring:\n", "wiring:\n  - synth/out1-2 -> main/t17-18\n  - rack/out1 -> main/t19\n  - main/t20 -> rack/in1\n").Replace(boathouse)
	for _, c := range []struct {
		name, from, session string
		want                []string
	}{
		{"two cords join outputs", "cords: [main/t1 - main/b5, main/t17 - main/t18, main/b17 - main/b18]", "", []string{
			"person pull main/b18 main/b17",
			"person pull main/t18 main/t17",
			"person pull main/b5 main/t1",
		}},
		{"a cord and crosspoints join outputs", "cords: [main/t1 - main/b5, main/t17 - main/t18, main/b17 - main/b14, main/b18 - main/b15]\ncrosspoints: {grid: {out1: [in1, in2]}}", "", []string{
			"grid switch out1:off(in1) out1:off(in2)",
			"person pull main/b17 main/b14",
			"person pull main/t18 main/t17",
			"person pull main/b5 main/t1",
			"person pull main/b18 main/b15",
		}},
		{"one of two stays", "cords: [main/t1 - main/b5, main/t17 - main/t18, main/b17 - main/b18]", "connect: [synth/out1 -> box/in2]", []string{
			"person pull main/t18 main/t17",
			"person move main/b17 main/b18 to main/b17 main/b6",
			"person pull main/b5 main/t1",
		}},
		{"two cords close a loop", "cords: [main/t1 - main/b5, main/t19 - main/t20, main/b19 - main/b20]", "", []string{
			"person pull main/b20 main/b19",
			"person pull main/t20 main/t19",
			"person pull main/b5 main/t1",
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			stepsAre(t, written(t, twice, c.from, c.session), c.want)
		})
	}
}

// stepsAre holds the steps of a plan against what they should be, and against every rule.
func stepsAre(t *testing.T, w way, want []string) {
	t.Helper()
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are\n%s\nnot\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
