package listen_test

import (
	"context"
	"errors"
	"math"
	"testing"

	device "bayhand/drivers/sound"
	"bayhand/model/heard"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/session"
	"bayhand/model/studio"
	"bayhand/model/suspect"
	"bayhand/model/text"
	"bayhand/model/tones"
	"bayhand/recall/listen"
	"bayhand/simulators/sound"
)

const small = `studio: a small room
gear:
  interface: {outputs: {out1-5: pro-line}, inputs: {in1-4: pro-line}, sound: {link: files}}
  squeeze: {channels: 1, line: pro-line}
  speakers: {inputs: {in1: pro-line}, role: loudspeaker}
bays:
  main: {pairs: 6, modes: isolated}
wiring:
  - interface/out1-4 -> main/t1-4
  - main/b1-4 -> interface/in1-4
  - squeeze/out1 -> main/t5
  - main/b5 -> squeeze/in1
  - interface/out5 -> speakers/in1
`

// finds is for a test of what one listening after the other finds. The race detector sees
// in it what it sees in the tests of how a listening runs (TestMeasure, TestStopped), and
// makes it ten times as long; .ci/run has it without.
func finds(t *testing.T) {
	t.Helper()
	if raced {
		t.Skip("this runs without the race detector")
	}
}

// hearing is a small room and a device in it.
type hearing struct {
	*testing.T
	studio *studio.Studio
	told   patch.Patch
	room   sound.Room
	// last is what the newest opening was.
	last *sound.Player
}

func newHearing(t *testing.T, src string, told, real patch.Patch) *hearing {
	t.Helper()
	s, _, problems := text.ReadStudio("studio.yaml", []byte(src))
	if problems.Errors() {
		t.Fatal(problems)
	}
	h := &hearing{T: t, studio: s, told: told}
	for _, g := range s.Gear {
		if g.Sound != nil {
			for _, c := range g.Sound.Outputs {
				h.room.Outputs = append(h.room.Outputs, c.Port)
			}
			for _, c := range g.Sound.Inputs {
				h.room.Inputs = append(h.room.Inputs, c.Port)
			}
		}
		if g.Role == studio.Loudspeaker {
			for _, p := range g.Ports {
				h.room.Ears = append(h.room.Ears, p.Point)
			}
		}
	}
	h.room.Studio, h.room.States = s, []sound.State{{Patch: real}}
	h.room.Device = sound.Device{Noise: -100, Bits: 24, Late: 777}
	return h
}

func (h *hearing) plan(with string) *listen.Plan {
	h.Helper()
	none := &session.Session{Program: -1}
	p, err := listen.Prepare(listen.Request{Room: heard.NewRoom(h.studio).For(none, h.told), Session: none, Patch: h.told, With: with})
	if err != nil {
		h.Fatal(err)
	}
	return p
}

// open is the device of the room; its errors are those of a real one.
func (h *hearing) open(string, listen.Format) (listen.Device, error) {
	p, err := h.room.Play()
	if err != nil {
		return nil, device.ErrBusy
	}
	h.last = p
	return faulty{p}, nil
}

type faulty struct{ *sound.Player }

func (f faulty) Exchange(played, heard []float32) error {
	err := f.Player.Exchange(played, heard)
	for is, as := range map[error]error{sound.ErrGone: device.ErrGone, sound.ErrLost: device.ErrLost, sound.ErrNoInput: device.ErrNoInput} {
		if errors.Is(err, is) {
			return as
		}
	}
	return err
}

func jack(side string, n int) name.Point { return name.At("main", side, n) }

func cords(pairs ...[2]int) (p patch.Patch) {
	for _, c := range pairs {
		p.Cords = append(p.Cords, patch.Cord{A: jack("t", c[0]), B: jack("b", c[1])})
	}
	return p
}

// A room as it was told is heard so, in two passes; one with two cords swapped is
// named, and not played to any louder, since a loudspeaker might hear it. Samples
// that are lost twice are played anew.
func TestMeasure(t *testing.T) {
	told := cords([2]int{2, 1}, [2]int{3, 3}, [2]int{4, 2})
	h := newHearing(t, small, told, told)
	h.room.Troubles = sound.Troubles{Lost: 100_000, LostTimes: 2}
	passes := 0
	plan := h.plan("")
	a, err := plan.Measure(t.Context(), h.open, listen.Way{Then: tones.SecondLevel, Progress: func(p listen.Progress) { passes = p.Pass }})
	if err != nil {
		t.Fatal(err)
	}
	if !a.AsItShould() || a.Quieter != "" || a.Level != tones.SecondLevel || passes != 2 {
		t.Errorf("%+v, %d passes, %q", a.Found, passes, a.Quieter)
	}
	if len(plan.LeftOut) != 1 || plan.LeftOut[0].Output != name.At("interface", "out", 5) {
		t.Errorf("left out %v", plan.LeftOut)
	}
	h.room.States[0].Patch = cords([2]int{3, 1}, [2]int{2, 3}, [2]int{4, 2})
	a, err = h.plan("").Measure(t.Context(), h.open, listen.Way{})
	if err != nil {
		t.Fatal(err)
	}
	if len(a.Found.Findings) != 1 || a.Found.Findings[0].Code != suspect.CordsSwapped || a.Level != tones.FirstLevel || a.Quieter == "" {
		t.Errorf("%+v, %v, %q", a.Found.Findings, a.Level, a.Quieter)
	}
}

// What a device does wrong is told as what it is.
func TestDeviceFails(t *testing.T) {
	for _, c := range []struct {
		troubles sound.Troubles
		want     error
	}{
		{sound.Troubles{Busy: true}, device.ErrBusy},
		{sound.Troubles{Gone: 100_000}, device.ErrGone},
		{sound.Troubles{Silent: 100_000}, device.ErrNoInput},
		{sound.Troubles{Lost: 100_000, LostTimes: 3}, device.ErrLost},
	} {
		told := cords([2]int{2, 1})
		h := newHearing(t, small, told, told)
		h.room.Troubles = c.troubles
		_, err := h.plan("").Measure(t.Context(), h.open, listen.Way{Quiet: true})
		if !errors.Is(err, c.want) {
			t.Errorf("%+v: %v, not %v", c.troubles, err, c.want)
		}
	}
}

// Whoever ends the context stops the sound: the last of it is heard within 20 ms of
// samples.
func TestStopped(t *testing.T) {
	told := cords([2]int{2, 1})
	h := newHearing(t, small, told, told)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	at, asked, last := 0, 0, 0
	open := func(link string, f listen.Format) (listen.Device, error) {
		d, err := h.open(link, f)
		h.last.Sounding = func(outputs, _ []float64) {
			at++
			if at == 60_000 {
				asked = at
				stop()
			}
			for _, v := range outputs {
				if math.Abs(v) > 1e-6 {
					last = at
				}
			}
		}
		return d, err
	}
	_, err := h.plan("").Measure(ctx, open, listen.Way{Quiet: true})
	if !errors.Is(err, listen.ErrStopped) || last < asked || last-asked > 960 {
		t.Errorf("%v; asked at %d, last heard at %d", err, asked, last)
	}
}
