package tones

import "math"

// Sweep is the sound of one output at a time: an exponential sweep, which
// finds a path through gear that changes pitch, since stretching its time only
// shifts it. Each output has a slot of its own.
type Sweep struct {
	Rate int
}

// SweepLow and SweepHigh are the ends of a sweep, in hertz.
const (
	SweepLow  = 200.0
	SweepHigh = 12000.0
)

// Length of a sweep and Slot of an output, in samples: one second, and two and a
// half. What distortion adds comes early by T ln k/L for harmonic k (Farina,
// Simultaneous measurement of impulse response and distortion, 2000: from
// memory), so the window of a slot begins Early before it.
func (s Sweep) Length() int { return s.Rate }

// Slot is the time of one output, in samples.
func (s Sweep) Slot() int { return s.Rate * 5 / 2 }

// Early is how long before its slot an output may be heard, in samples.
func (s Sweep) Early() int { return s.Rate * 6 / 10 }

// HarmonicLead is how early harmonic k of a distorted sweep comes, in seconds.
func (s Sweep) HarmonicLead(k int) float64 {
	return math.Log(float64(k)) / math.Log(SweepHigh/SweepLow)
}

// Wave is one sweep of 1 rms, with 10 ms of rise and fall.
func (s Sweep) Wave() []float64 {
	n := s.Length()
	octaves := math.Log(SweepHigh / SweepLow)
	edge := float64(s.Rate) / 100
	wave := make([]float64, n)
	for i := range wave {
		t := float64(i) / float64(s.Rate)
		phase := 2 * math.Pi * SweepLow / octaves * (math.Exp(t*octaves) - 1)
		ends := min(1, float64(i)/edge, float64(n-1-i)/edge)
		wave[i] = math.Sqrt2 * cosine(ends) * math.Sin(phase)
	}
	return wave
}
