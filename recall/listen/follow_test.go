package listen_test

import (
	"context"
	"testing"

	"bayhand/model/patch"
	"bayhand/model/suspect"
	"bayhand/recall/listen"
)

// Of two cords in a chain through an effect one is missing. Nobody can hear which: the
// listening plug that is proposed goes into a jack of one of them, and with it the answer
// says which it was.
func TestAPlugIsFollowed(t *testing.T) {
	finds(t)
	const chain = `studio: a chain
gear:
  interface: {outputs: {out1: pro-line}, inputs: {in1-2: pro-line}, sound: {link: files}}
  squeeze: {channels: 1, line: pro-line}
bays:
  main: {pairs: 3, modes: isolated}
wiring:
  - interface/out1 -> main/t1
  - main/b1-2 -> interface/in1-2
  - squeeze/out1 -> main/t3
  - main/b3 -> squeeze/in1
`
	send, back := patch.Cord{A: jack("t", 1), B: jack("b", 3)}, patch.Cord{A: jack("t", 3), B: jack("b", 1)}
	told := patch.Patch{Cords: []patch.Cord{send, back}}
	h := newHearing(t, chain, told, patch.Patch{Cords: []patch.Cord{back}})
	listens := func(before *listen.Answer) *listen.Answer {
		t.Helper()
		a, err := h.plan("").Measure(context.Background(), h.open, listen.Way{Quiet: true})
		if err != nil {
			t.Fatal(err)
		}
		a.Follow(before)
		return a
	}
	first := listens(nil)
	if len(first.Found.Findings) != 1 || len(first.Followed) != 0 {
		t.Fatalf("%+v", first.Found)
	}
	f := first.Found.Findings[0]
	if n := suspect.Places(append([]suspect.Mistake{f.Mistake}, f.OrElse...)); n != 2 {
		t.Fatalf("the causes are at %d places: %+v", n, f)
	}
	p, ok := first.Scene.Probe(f)
	if !ok || !p.Instead.Same(back) || p.At != jack("t", 3) || p.Into != jack("b", 2) {
		t.Fatalf("the plug is %+v", p)
	}
	h.told = p.Patch()
	h.room.States[0].Patch = patch.Patch{Cords: []patch.Cord{{A: p.At, B: p.Into}}}
	second := listens(first)
	if len(second.Followed) != 1 || second.Followed[0].Code != suspect.CordMissing || !second.Followed[0].Concerns(send) {
		t.Fatalf("followed: %+v", second.Followed)
	}
	for _, m := range second.Followed[0].OrElse {
		if m.Concerns(back) {
			t.Errorf("it may still be %+v", m)
		}
	}
	if again := listens(second); len(again.Followed) != 0 {
		t.Errorf("what nobody plugged for is followed: %+v", again.Followed)
	}
}
