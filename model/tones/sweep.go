package tones

import (
	"fmt"
	"math"
)

// Ends of a sweep in hertz, and how long it takes, in seconds. It grows by equal ratios
// in equal times (Farina, Simultaneous measurement of impulse response and distortion
// with a swept-sine technique, 2000: from memory): sound that is played faster, slower or
// retuned is the same sweep a little earlier or later.
const (
	SweepFrom    = 200.0
	SweepTo      = 12000.0
	SweepSeconds = 1.0
)

// Times of sweeps that follow each other, in seconds. The k-th harmonic of a sweep comes
// early by ln k/ln(to/from), which is 0.54 s for the ninth: so much is heard of a slot
// before its sweep begins.
const (
	SlotSeconds = 2.5
	SlotEarly   = 0.6
	sweepLead   = 1.5 // silence in which noise is read
	sweepFade   = 0.02
)

// Sweeps are the test sound of outputs that play one after the other, each in a slot of
// its own. It names what the tones of all at once cannot, such as sound that is retuned.
type Sweeps struct {
	// Rate is in samples a second, Outputs the number of slots.
	Rate, Outputs int
	// Wave is one sweep, of 1 rms.
	Wave []float64
}

// NewSweeps makes them for 1 to MostOutputs outputs at one of Rates.
func NewSweeps(rate, outputs int) (*Sweeps, error) {
	if Period(rate) == 0 || outputs < 1 || outputs > MostOutputs {
		return nil, fmt.Errorf("%d outputs at %d samples a second; 1 to %d can play, at %v", outputs, rate, MostOutputs, Rates())
	}
	s := &Sweeps{Rate: rate, Outputs: outputs, Wave: make([]float64, rate)}
	ratio := math.Log(SweepTo / SweepFrom)
	for i := range s.Wave {
		t := float64(i) / float64(rate)
		phase := 2 * math.Pi * SweepFrom * SweepSeconds / ratio * (math.Exp(t/SweepSeconds*ratio) - 1)
		fade := min(1, t/sweepFade, (SweepSeconds-t)/sweepFade)
		s.Wave[i] = math.Sqrt2 * math.Sin(phase) * cosine(fade)
	}
	return s, nil
}

// part is a time in samples.
func (s *Sweeps) part(seconds float64) int { return int(math.Round(seconds * float64(s.Rate))) }

// Timing is that of one pass: its sound begins with the first sweep, and ends with the
// last slot.
func (s *Sweeps) Timing() Timing {
	t := Timing{Begin: s.part(sweepLead)}
	t.End = t.Begin + s.Outputs*s.part(SlotSeconds)
	t.Length = t.End + s.part(SlotEarly)
	return t
}

// Start is the sample at which the sweep of a slot begins.
func (s *Sweeps) Start(slot int) int { return s.part(sweepLead) + slot*s.part(SlotSeconds) }

// Sound makes a pass whose rms on a channel that plays is level, in dB to full scale.
// Played are the slots of the channels, in order; negative is silence.
func (s *Sweeps) Sound(level float64, played []int) *Sound {
	wave := make([]float32, len(s.Wave))
	for i, v := range s.Wave {
		wave[i] = float32(v)
	}
	made := &Sound{Timing: s.Timing(), level: Ratio(level)}
	for _, slot := range played {
		made.starts = append(made.starts, s.Start(max(0, slot)))
		one := wave
		if slot < 0 {
			one = nil
		}
		made.waves = append(made.waves, one)
	}
	return made
}
