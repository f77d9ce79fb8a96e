package listen_test

import (
	"context"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"bayhand/model/studio"
	"bayhand/recall/listen"
	"bayhand/simulators/sound"
)

// Hum of the room's mains is told where it is loud; once it was kept as the room's own,
// only where it grows. Of the other mains nothing is read.
func TestHum(t *testing.T) {
	finds(t)
	const studio = `studio: two cords
gear:
  interface: {outputs: {out1: pro-line}, inputs: {in1: pro-line}, sound: {link: files}}
bays:
  main: {pairs: 1, modes: isolated}
wiring: [interface/out1 -> main/t1, main/b1 -> interface/in1]
verify: {hum: `
	told := cords([2]int{1, 1})
	file := filepath.Join(t.TempDir(), "reading.json")
	for _, test := range []struct {
		what, mains string
		hum         float64
		told        string
		keep        bool
	}{
		{"loud", "50 Hz", -50, "hums with 50 Hz and harmonics at -52 dBFS (-28 dBu)", true},
		{"as it was kept", "50 Hz", -50, "", false},
		{"louder than kept", "50 Hz", -35, "15 dB more than in the reference", false},
		{"of the other mains", "60 Hz", -50, "", false},
	} {
		h := newHearing(t, studio+test.mains+"}\n", told, told)
		h.room.Device.Hum = test.hum
		l := h.plan("")
		var err error
		if l.Reference, err = listen.LoadReference(file); err != nil {
			t.Fatal(err)
		}
		a, err := l.Measure(context.Background(), h.open, listen.Way{Quiet: true})
		if err != nil {
			t.Fatal(err)
		}
		troubles := slices.DeleteFunc(a.Troubles(), func(t listen.Trouble) bool { return t.Code != "hum" })
		if a.AsItShould() != (test.told == "") || len(troubles) > 0 && !strings.Contains(troubles[0].Says, test.told) || (len(troubles) > 0) != (test.told != "") {
			t.Errorf("%s: as it should: %v, %+v", test.what, a.AsItShould(), a.Troubles())
		}
		if test.keep {
			if err := a.Keep(file, time.Unix(0, 0)); err != nil {
				t.Errorf("%s: %v", test.what, err)
			}
		}
	}
}

// A contact that is out for a twentieth of the time, and an effect that feeds its sound back
// to itself, are told of the inputs that hear them, and of no other.
func TestContactAndLoop(t *testing.T) {
	whole := cords([2]int{1, 1}, [2]int{2, 5}, [2]int{5, 2}, [2]int{3, 3})
	out := cords([2]int{2, 5}, [2]int{5, 2}, [2]int{3, 3})
	h := newHearing(t, small, whole, whole)
	for at := 24000; at < 8*48000; at += 24000 {
		h.room.States = append(h.room.States, sound.State{From: at, Patch: out}, sound.State{From: at + 1200, Patch: whole})
	}
	h.room.Boxes = map[studio.Pass]sound.Box{h.studio.Gear[1].Passes[0]: sound.NewDelay(4800, 0.9)}
	a, err := h.plan("").Measure(context.Background(), h.open, listen.Way{Quiet: true})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, trouble := range a.Troubles() {
		got = append(got, trouble.Code+" "+trouble.Input.String())
	}
	if want := []string{"comes-and-goes interface/in1", "goes-round interface/in2"}; !slices.Equal(got, want) || a.AsItShould() {
		t.Errorf("%v, and not %v; as it should: %v", got, want, a.AsItShould())
	}
}
