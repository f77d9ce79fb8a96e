package order_test

import (
	"slices"
	"strings"
	"testing"
)

// looseRoom has a box before a preamplifier and one behind an interface, neither of
// them wired, as they are carried to where they are needed.
const looseRoom = `
studio: A room with boxes that are carried about
gear:
  synth: {outputs: {out1: home-line}, at: [di, floor]}
  di: {inputs: {in1: home-line}, outputs: {out1: microphone}, passes: [in1 => out1], loose: true, at: floor}
  reamp: {inputs: {in1: pro-line}, outputs: {out1: instrument}, passes: [in1 => out1], loose: true}
  amplifier: {inputs: {in1: instrument}, loose: true}
  pre: {inputs: {in1: {line: microphone, phantom: true}}, outputs: {out1: pro-line}, passes: [in1 => out1]}
  interface: {inputs: {in1: pro-line}, outputs: {out1: pro-line}}
bays:
  main: {pairs: 4, modes: isolated}
boxes:
  floor: {jacks: 2, jack: xlr}
wiring:
  - main/b1 -> pre/in1
  - pre/out1 -> main/t2
  - main/b2 -> interface/in1
  - interface/out1 -> main/t3
ties: [floor/1 = main/t1]
`

// A synthesizer goes by a box to the floor, the interface by another to an amplifier:
// leads of gear to loose gear are planned, put in order and measured as all others.
func TestLeadsBetweenGear(t *testing.T) {
	w := written(t, looseRoom, "", "connect: [synth/out1 -> di -> pre/1 -> interface/in1, interface/out1 -> reamp -> amplifier/in1]")
	if !w.plan.Given || w.plan.Plugs != w.plan.Least {
		t.Fatalf("given %t, %d plugs and %d at least: %v", w.plan.Given, w.plan.Plugs, w.plan.Least, w.plan.Missing)
	}
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	if r := w.replay(w.plan.Steps, true); len(r.wrong) > 0 {
		t.Error(r.wrong)
	}
	got := lines(w.plan.Steps)
	// The interface is wired, so the lead to the box goes into its jack.
	for _, want := range []string{
		"person plug-lead synth/out1 di/in1", "person plug-lead di/out1 floor/1 <1",
		"person plug-lead reamp/in1 main/t3", "person plug-lead reamp/out1 amplifier/in1",
	} {
		if !slices.Contains(got, want) {
			t.Errorf("there is no step %q in %q", want, got)
		}
	}
}

// The input of a box takes one plug: with the synthesizer's lead in, the interface
// cannot come to it as well.
func TestOnePlugInTheInputOfALooseBox(t *testing.T) {
	w := written(t, strings.ReplaceAll(looseRoom, "loose: true, at: floor}", "loose: true}"), "leads: [synth/out1 - di/in1]", "connect: [interface/out1 -> di/in1]")
	if !w.plan.Given || len(w.plan.Moves) != 2 {
		t.Errorf("the synthesizer's lead is not taken out of the box: %v, %v", w.plan.Moves, w.plan.Missing)
	}
}
