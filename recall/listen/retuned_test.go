package listen_test

import (
	"context"
	"slices"
	"testing"

	"bayhand/model/patch"
	"bayhand/model/studio"
	"bayhand/recall/listen"
	"bayhand/simulators/sound"
)

// Sound that comes back retuned by 3 per cent cannot be named among the tones of all at
// once, and that is said; one output at a time names it. Through a tape with wow, by a
// recorder with its own clock, it is named at once.
func TestRetunedSound(t *testing.T) {
	finds(t)
	const room = `studio: one effect
gear:
  interface: {outputs: {out1: pro-line}, inputs: {in1: pro-line}, sound: {link: files}}
  squeeze: {channels: 1, line: pro-line}
bays:
  main: {pairs: 2, modes: isolated}
wiring:
  - interface/out1 -> main/t1
  - main/b1 -> interface/in1
  - squeeze/out1 -> main/t2
  - main/b2 -> squeeze/in1
`
	told := patch.Patch{Cords: []patch.Cord{{A: jack("t", 1), B: jack("b", 2)}, {A: jack("t", 2), B: jack("b", 1)}}}
	for _, c := range []struct {
		what    string
		box     sound.Box
		way     listen.Way
		found   bool
		trouble string
	}{
		{"all at once", sound.NewRetuner(1.03), listen.Way{Quiet: true}, false, "unnamed"},
		{"one at a time", sound.NewRetuner(1.03), listen.Way{Quiet: true, OneAtATime: true}, true, ""},
		{"a tape", sound.NewTape(0.01, 0.001), listen.Way{Quiet: true}, true, ""},
	} {
		h := newHearing(t, room, told, told)
		h.room.Device.Clock = 60
		h.room.Boxes = map[studio.Pass]sound.Box{}
		for _, g := range h.studio.Gear {
			for _, pass := range g.Passes {
				h.room.Boxes[pass] = c.box
			}
		}
		a, err := h.plan("").Measure(context.Background(), h.open, c.way)
		if err != nil {
			t.Fatal(err)
		}
		unnamed := slices.ContainsFunc(a.Troubles(), func(trouble listen.Trouble) bool { return trouble.Code == c.trouble })
		if got := a.Paths[0][0].Found; got != c.found || unnamed != (c.trouble != "") || a.AsItShould() != c.found {
			t.Errorf("%s: found %v, %+v, %+v", c.what, got, a.Troubles(), a.Found)
		}
	}
}
