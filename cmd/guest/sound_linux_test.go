package guest_test

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strconv"
	"testing"
	"time"

	"bayhand/drivers/sound"
)

// loopback is the sound loopback of the machine: what device 0 of its card plays,
// device 1 records.
const loopback = "alsa:hw:Loopback,0+hw:Loopback,1"

func onlyInside(t *testing.T) {
	t.Helper()
	if os.Getenv("BAYHAND_GUEST") != "inside" {
		t.Skip("this is not the machine")
	}
}

// noise is frames of 24 bits a sample, which a float holds whole, by the constants of
// a linear congruential generator (Numerical Recipes: from memory). They are played
// again and again: a block of them is not made anew, since the machine is slow.
func noise(samples int) []float32 {
	state, frames := uint32(1), make([]float32, samples)
	for i := range frames {
		state = state*1664525 + 1013904223
		frames[i] = float32(int32(state)>>8) / (1 << 23)
	}
	return frames
}

// What is played comes back without a wrong sample on 32 channels, at 48 and 96 kHz.
// BAYHAND_SOUND_SECONDS says how long; 60 is the long form.
func TestInsideSoundIsExact(t *testing.T) {
	onlyInside(t)
	seconds := 2
	if asked, err := strconv.Atoi(os.Getenv("BAYHAND_SOUND_SECONDS")); err == nil {
		seconds = asked
	}
	for _, rate := range []int{48000, 96000} {
		right, err := exact(rate, 32, seconds)
		if err != nil {
			t.Errorf("%d Hz: %v, after %d samples", rate, err, right)
			continue
		}
		fmt.Printf("%d Hz, 32 channels: %d samples right, none wrong\n", rate, right)
	}
}

// exact plays noise and says how many samples came back right.
func exact(rate, channels, seconds int) (right int, err error) {
	d, err := sound.Open(loopback, sound.Want{Rate: rate, Outputs: channels, Inputs: channels, Buffer: time.Second})
	if err != nil {
		return 0, err
	}
	defer d.Close()
	block := rate / 100 * channels
	cycle := 37 * block
	all := noise(cycle)
	all = append(all, all[:block]...)
	heard := make([]float32, block)
	begun := false
	for n := range seconds * 100 {
		at := n * block % cycle
		if err := d.Exchange(all[at:at+block], heard); err != nil {
			return right, err
		}
		// Silence comes first, as long as what is buffered.
		rest := heard
		for !begun && len(rest) > 0 {
			if begun = rest[0] != 0; !begun {
				rest = rest[channels:]
			}
		}
		want := all[right%cycle:][:len(rest)]
		if !slices.Equal(rest, want) {
			return right, fmt.Errorf("of %d samples from %d on one at least came back otherwise", len(rest), right)
		}
		right += len(rest)
	}
	if right < block*50 {
		return right, fmt.Errorf("only %d samples came back", right)
	}
	return right, nil
}

// A device that another program holds, one that is served late, one that has fewer
// channels, and one that is pulled while it plays: each is told as what it is.
func TestInsideSoundTroubles(t *testing.T) {
	onlyInside(t)
	want := sound.Want{Rate: 48000, Outputs: 8, Inputs: 8}
	d, err := sound.Open(loopback, want)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := sound.Open(loopback, want); !errors.Is(err, sound.ErrBusy) {
		t.Errorf("opened twice: %v", err)
	}
	played, heard := make([]float32, 480*8), make([]float32, 480*8)
	if err := d.Exchange(played, heard); err != nil && !errors.Is(err, sound.ErrLost) {
		t.Errorf("the first block: %v", err)
	}
	<-time.After(300 * time.Millisecond) // longer than what is buffered
	if err := d.Exchange(played, heard); !errors.Is(err, sound.ErrLost) {
		t.Errorf("served late: %v", err)
	}
	if err := d.Close(); err != nil {
		t.Errorf("closed: %v", err)
	}
	if _, err := sound.Open(loopback, sound.Want{Rate: 48000, Outputs: 33, Inputs: 33}); !errors.Is(err, sound.ErrFormat) {
		t.Errorf("33 channels: %v", err)
	}

	d, err = sound.Open(loopback, want)
	if err != nil {
		t.Fatal(err)
	}
	pulled := make(chan error, 1)
	for i := range 500 {
		if err = d.Exchange(played, heard); err != nil {
			break
		}
		if i == 5 {
			go func() { pulled <- os.WriteFile("/sys/bus/platform/drivers/snd_aloop/unbind", []byte("snd_aloop.0"), 0) }()
		}
	}
	if !errors.Is(err, sound.ErrGone) {
		t.Errorf("pulled while it plays: %v", err)
	}
	if err := d.Close(); err != nil {
		fmt.Printf("closing a device that is gone: %v\n", err)
	}
	if err := <-pulled; err != nil {
		t.Error(err)
	}
	if _, err := sound.Open(loopback, want); !errors.Is(err, sound.ErrNoDevice) {
		t.Errorf("not there: %v", err)
	}
	if err := os.WriteFile("/sys/bus/platform/drivers/snd_aloop/bind", []byte("snd_aloop.0"), 0); err != nil {
		t.Error(err)
	}
}

// A stop is silent within 20 ms of samples and what the device holds in one period.
func TestInsideSoundStops(t *testing.T) {
	onlyInside(t)
	d, err := sound.Open(loopback, sound.Want{Rate: 48000, Outputs: 2, Inputs: 2, Buffer: time.Second})
	if err != nil {
		t.Fatal(err)
	}
	played, heard := make([]float32, 960), make([]float32, 960)
	for i := range played {
		played[i] = 0.5
	}
	for range 150 {
		if err := d.Exchange(played, heard); err != nil {
			t.Fatal(err)
		}
	}
	if heard[959] != 0.5 {
		t.Errorf("%v is heard", heard[959])
	}
	if err := d.Stop(); err != nil {
		t.Error(err)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
}
