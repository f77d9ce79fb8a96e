package listen_test

import (
	"context"
	"math"
	"path/filepath"
	"testing"
	"time"

	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/recall/listen"
)

// A cord that nobody reported leads from a line to a recorder, which is not heard from
// here: 20 kohm more on an output of 100 ohm take 20 log10((20000/20100)/(10000/10100)) =
// 0.043 dB, by the divider of the textbooks. With a reference that is a hint, and no finding.
func TestMoreHangsOnALine(t *testing.T) {
	finds(t)
	const room = `studio: a line with a tap
gear:
  interface: {outputs: {out1-3: line}, inputs: {in1-3: line}, sound: {link: files}}
  recorder: {inputs: {in1: line}}
lines:
  line: {kind: line, level: +4 dBu, max: +24 dBu, source: 100 ohm, load: 20 kohm, balanced: active}
bays:
  main: {pairs: 4, modes: half-normal}
wiring:
  - interface/out1-3 -> main/t1-3
  - main/b1-3 -> interface/in1-3
  - main/b4 -> recorder/in1
`
	told := patch.Patch{}
	h := newHearing(t, room, told, told)
	listens := func(file string) *listen.Answer {
		t.Helper()
		l := h.plan("")
		var err error
		if l.Reference, err = listen.LoadReference(file); err != nil {
			t.Fatal(err)
		}
		a, err := l.Measure(context.Background(), h.open, listen.Way{Quiet: true})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	file := filepath.Join(t.TempDir(), "reading.json")
	if err := listens(file).Keep(file, time.Unix(0, 0)); err != nil {
		t.Fatal(err)
	}
	if a := listens(file); len(a.Heavier()) != 0 {
		t.Errorf("nothing changed, and %+v", a.Heavier())
	}
	h.room.States[0].Patch = patch.Patch{Cords: []patch.Cord{{A: jack("t", 2), B: jack("b", 4)}}}
	a := listens(file)
	got := a.Heavier()
	if len(got) != 1 || got[0].Output != name.At("interface", "out", 2) || math.Abs(got[0].By-0.043) > 0.003 || !a.AsItShould() {
		t.Errorf("%+v, as it should: %v", got, a.AsItShould())
	}
}
