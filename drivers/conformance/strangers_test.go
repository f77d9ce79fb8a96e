package conformance_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"testing/synctest"
	"time"

	"bayhand/drivers/matrix"
	"bayhand/model/device"
	"bayhand/model/name"
	"bayhand/model/patch"
	"bayhand/model/studio"
)

// lives are those of each stranger: BAYHAND_RUNS is how many, or a share of them.
func lives(t *testing.T, usual int) []uint64 {
	if os.Getenv("BAYHAND_RUNS") != "" {
		return seeds(t)
	}
	return between(0, usual-1)
}

// Devices of which nobody here but their manual knows are driven through random
// patches, turns by hand, lost power, and answers that are busy, refused, lost, spoilt
// and late: whatever is read back is so.
func TestStrangers(t *testing.T) {
	t.Setenv("BAYHAND_TEST_WORD", "heron")
	for title, d := range manuals(t) {
		of := kindOf(title)
		if of.deaf {
			continue // nothing of it is ever read back; the keeper drives it
		}
		t.Run(title, func(t *testing.T) {
			ends := outcomes{}
			all := lives(t, 8)
			for _, seed := range all {
				synctest.Test(t, func(t *testing.T) { live(t, d, of, seed, ends) })
			}
			t.Log(ends)
			if ends["verified"] < len(all) {
				t.Errorf("the troubles are too many: %v", ends)
			}
		})
	}
}

// newStranger is a device with troubles as the seed has them, and its matrix of a
// studio.
func newStranger(d *device.Description, of kind, random *rand.Rand) (*stranger, studio.Matrix) {
	s := &stranger{hear: of.hear, turned: of.turned}
	for _, trouble := range []*int{&s.busy, &s.refuse, &s.lose, &s.spoil} {
		if random.IntN(3) == 0 {
			*trouble = 2 + random.IntN(4)
		}
	}
	m := studio.Matrix{Name: "grid", Inputs: 4, Outputs: 4, Kind: studio.Amplifiers, Device: &studio.Device{Description: d.Name, Link: "tcp:grid:1"}}
	if of.relays {
		m.Kind = studio.Contacts
	}
	if of.pairs {
		m.Stereo = [][]name.Point{{m.Out(1), m.Out(2)}, {m.Out(3), m.Out(4)}}
		for o := 1; o < 5; o++ {
			for i := 1; i < 5; i++ {
				if o%2 != i%2 {
					m.Missing = append(m.Missing, studio.Absent{Output: m.Out(o), Input: m.In(i)})
				}
			}
		}
	}
	for _, p := range d.Parameters {
		m.Device.Parameters = append(m.Device.Parameters, studio.Parameter{Name: p.Name, Value: "env:BAYHAND_TEST_WORD"})
	}
	return s, m
}

// target draws a patch of a stranger.
func (of kind) target(m studio.Matrix, random *rand.Rand) []patch.Crosspoint {
	target := []patch.Crosspoint{}
	for o := 1; o < 5; o++ {
		i := random.IntN(5)
		if of.pairs && o%2 == 1 && i > 0 {
			i = 1 + 2*random.IntN(2)
			target = append(target, patch.Crosspoint{Output: m.Out(o + 1), Input: m.In(i + 1)})
		}
		if i > 0 && (!of.pairs || o%2 == 1) {
			target = append(target, patch.Crosspoint{Output: m.Out(o), Input: m.In(i)})
		}
	}
	slices.SortFunc(target, patch.Crosspoint.Compare)
	return target
}

// turnedTo is what a hand turns an output to: one input, none, or at relays several.
func (of kind) turnedTo(random *rand.Rand) byte {
	if of.relays {
		return byte(random.IntN(16))
	}
	return byte(1<<random.IntN(5)) & 0xF
}

// live is one life of a stranger.
func live(t *testing.T, d *device.Description, of kind, seed uint64, ends outcomes) {
	random := rand.New(rand.NewPCG(seed, 41))
	s, m := newStranger(d, of, random)
	var faults []fault
	for range random.IntN(4) {
		faults = append(faults, randomFault(random, 200, 150*time.Millisecond))
	}
	for range 2 { // the second time the link is opened anew, after it lost power
		c := newCable(9600, random.IntN(2) == 0, faults)
		ended := make(chan struct{})
		go func() { defer close(ended); s.talk(c) }()
		driven, err := matrix.New(d, m, driverEnd{c}, matrix.SystemClock{})
		if err != nil {
			t.Fatal(err)
		}
		for range 3 {
			step(t, driven, s, of, random, m, ends)
		}
		if err := driven.Close(); err != nil {
			t.Error(err)
		}
		<-ended
		s.powerLost()
	}
	ends["troubles"] += s.met + len(faults)
}

// step switches to a random patch, turns the device by hand at times, and holds what is
// read against what it has.
func step(t *testing.T, driven *matrix.Matrix, s *stranger, of kind, random *rand.Rand, m studio.Matrix, ends outcomes) {
	synctest.Wait()
	open, closing := to(s.holds(), of.target(m, random))
	has := func(c patch.Crosspoint) bool {
		return !slices.Contains(m.Missing, studio.Absent{Output: c.Output, Input: c.Input})
	}
	open = slices.DeleteFunc(open, func(c patch.Crosspoint) bool { return !has(c) })
	_ = driven.Switch(context.Background(), open, closing) // what it did, reading back says
	synctest.Wait()
	if random.IntN(4) == 0 {
		s.turn(1+random.IntN(4), of.turnedTo(random))
	}
	read, err := driven.Read(context.Background())
	synctest.Wait()
	held, unclear := s.holds(), new(matrix.UnclearError)
	if errors.As(err, &unclear) {
		held = slices.DeleteFunc(held, func(c patch.Crosspoint) bool { return slices.Contains(unclear.Outputs, c.Output) })
	}
	switch {
	case err != nil && len(unclear.Outputs) == 0:
		ends["not known"]++
	case !slices.Equal(read, held):
		t.Errorf("a wrong belief: read %v, and it holds %v", read, s.holds())
	default:
		ends["verified"]++
	}
}
