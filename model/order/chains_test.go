package order_test

import (
	"slices"
	"testing"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/plan"
)

// chained is made up: a deck on a far bay hears a radio by a normal there; a tie
// leads from the bay of the tape. The lamp and the bell have two jacks each.
const chained = `
studio: A room with a tie
gear:
  tape: {outputs: {out1: pro-line}}
  radio: {outputs: {out1: pro-line}}
  deck: {inputs: {in1: pro-line}}
  lamp: {outputs: {out1: pro-line}}
  bell: {inputs: {in1: pro-line}}
bays:
  main: {pairs: 6, modes: {1-4: isolated, 5-6: parallel}}
  far: {pairs: 4, modes: {1: normal, 2-4: isolated}}
wiring:
  - tape/out1 -> main/t1
  - radio/out1 -> far/t1
  - far/b1 -> deck/in1
  - lamp/out1 -> main/t5
  - main/b6 -> bell/in1
ties: [main/b4 = far/t4]
`

// listened is what a destination hears after each plug, with equals in a row told
// once.
func (w way) listened(in name.Point) []string {
	var heard []string
	note := func(p patch.Patch) {
		text := "silence"
		for i, s := range w.room.Hear(p).Hears(in) {
			if i == 0 {
				text = ""
			}
			text += s.String()
		}
		if len(heard) == 0 || heard[len(heard)-1] != text {
			heard = append(heard, text)
		}
	}
	note(w.from)
	r := newReplay(w.room, w.from, nil)
	r.watch = func(_ name.Point, _, after patch.Patch) { note(after) }
	for _, s := range w.plan.Steps {
		r.do(s)
	}
	return heard
}

// A destination goes from what it heard to what it shall hear with the last plug
// of its chain, and comes back with the first: nothing else is heard between, and
// there is no silence. Neither plug has to wait for the other: in the other order there
// is nothing but silence between.
func TestADestinationChangesWithTheLastPlugOfItsChain(t *testing.T) {
	deck := points(t, "deck/in1")[0]
	there := written(t, chained, "", "connect: [tape/out1 -> deck/in1]")
	at := points(t, "main/b4", "main/t1", "far/b1", "far/t4")
	to := patch.Patch{Cords: []patch.Cord{{A: at[0], B: at[1]}, {A: at[2], B: at[3]}}}
	there = byHand(there, to, there.session, plan.Move{Do: plan.Plug, Ends: at[2:]}, plan.Move{Do: plan.Plug, Ends: at[:2]})
	there.arrange(t, 0)
	there.check(t, 0, tally{})
	want := []string{"person plug main/t1 main/b4", "person plug far/t4 far/b1"}
	if got := lines(there.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are %v", got)
	}
	if got := there.listened(deck); !slices.Equal(got, []string{"radio/out1", "tape/out1"}) {
		t.Errorf("on the way there %v are heard", got)
	}
	last := there.plan.Steps[len(there.plan.Steps)-1].Ends
	if last[len(last)-1] != points(t, "far/b1")[0] {
		t.Errorf("the last plug is %v", last)
	}
	back := written(t, chained, "cords: [main/t1 - main/b4, far/t4 - far/b1]", "")
	back.arrange(t, 0)
	back.check(t, 0, tally{})
	if got := back.listened(deck); !slices.Equal(got, []string{"tape/out1", "radio/out1"}) {
		t.Errorf("on the way back %v are heard", got)
	}
	if first := back.plan.Steps[0].Ends; first[0] != points(t, "far/b1")[0] {
		t.Errorf("the first plug pulled is %v", first)
	}
}

// Where a path is kept and there is a spare way, the new one is made before the
// old is broken, though plugs move on the kept path either way; where it is not
// kept, it is interrupted no more.
func TestMakeBeforeBreak(t *testing.T) {
	for _, body := range []string{"keep: [lamp/out1 -> bell/in1]", "connect: [lamp/out1 -> bell/in1]"} {
		w := written(t, chained, "cords: [main/t5 - main/t6]", body)
		ends := points(t, "main/b5", "main/b6")
		to := patch.Patch{Cords: []patch.Cord{{A: ends[0], B: ends[1]}}}
		w = byHand(w, to, w.session,
			plan.Move{Do: plan.Pull, Ends: points(t, "main/t5", "main/t6")},
			plan.Move{Do: plan.Plug, Ends: ends})
		w.arrange(t, 0)
		w.check(t, 0, tally{})
		want := []string{"person plug main/b5 main/b6", "person pull main/t6 main/t5 <1"}
		if got := lines(w.plan.Steps); !slices.Equal(got, want) {
			t.Errorf("%s: the steps are %v", body, got)
		}
		if got := w.listened(points(t, "bell/in1")[0]); len(got) != 1 {
			t.Errorf("%s: on the way %v are heard", body, got)
		}
	}
}

// Two sources that would meet in a mult do not: the cord of the one is out before
// that of the other goes in, and it waits for that.
func TestBreakBeforeMake(t *testing.T) {
	w := written(t, rings, "cords: [main/t1 - main/t3, main/b2 - main/b3]", "connect: [tape/out1 -> deck/in1]")
	at := points(t, "main/t1", "main/t3", "main/t2", "main/t4", "main/b2", "main/b3")
	to := patch.Patch{Cords: []patch.Cord{{A: at[2], B: at[3]}, {A: at[4], B: at[5]}}}
	w = byHand(w, to, w.session, plan.Move{Do: plan.Plug, Ends: at[2:4]}, plan.Move{Do: plan.Pull, Ends: at[:2]})
	w.arrange(t, 0)
	w.check(t, 0, tally{})
	want := []string{"person pull main/t3 main/t1", "person plug main/t2 main/t4 <1"}
	if got := lines(w.plan.Steps); !slices.Equal(got, want) {
		t.Errorf("the steps are %v", got)
	}
}
