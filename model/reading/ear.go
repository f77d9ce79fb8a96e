package reading

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"

	"bayhand/model/tones"
)

// coarseBand is the frequency below which a peak is first looked for, in hertz:
// a quarter of the points finds it with a loss of about 1 dB.
const coarseBand = 5000.0

// Ear reads recordings of one comb. It holds room for its work, so it is for
// one user at a time; several may work beside each other.
type Ear struct {
	comb   *tones.Comb
	timing tones.Timing
	level  float64
	fft    *fourier.FFT
	coarse *fourier.FFT // a quarter as long
	thin   *fourier.FFT // of two periods of which one sample in thinner is left
	silent []int        // bins, in order
	played []int        // bins, in order
	mains  int          // hertz; 0 for the louder of 50 and 60

	spectrum []complex128
	series   []float64
}

// NewEar makes an ear for a comb that was played at a level, in dBFS rms.
func NewEar(comb *tones.Comb, level float64) *Ear {
	e := &Ear{
		comb: comb, timing: comb.Timing(), level: tones.Ratio(level),
		fft:      fourier.NewFFT(comb.Period),
		coarse:   fourier.NewFFT(comb.Period / 4),
		thin:     fourier.NewFFT(comb.Period * 2 / thinner),
		spectrum: make([]complex128, comb.Period/2+1),
		series:   make([]float64, comb.Period),
	}
	for n, share := range comb.Shares {
		for _, t := range share {
			if n < comb.Outputs {
				e.played = append(e.played, t.Bin)
			} else {
				e.silent = append(e.silent, t.Bin)
			}
		}
	}
	slices.Sort(e.silent)
	slices.Sort(e.played)
	return e
}

// Mains says of which mains hum is read, in hertz; 0, as at first, is the louder of 50
// and 60.
func (e *Ear) Mains(hertz int) { e.mains = hertz }

// Fitting is where the sound is in a recording and how its clock ran.
type Fitting struct {
	// Begin is the sample at which the sound begins to rise.
	Begin int
	// Clock is in parts per million.
	Clock float64
}

// Check says what keeps a recording from being read.
func (e *Ear) Check(r Recording) error {
	if r.Rate != e.comb.Rate {
		return fmt.Errorf("a recording of %d samples a second; the test sound was made for %d", r.Rate, e.comb.Rate)
	}
	if len(r.Channels) == 0 {
		return fmt.Errorf("a recording without channels")
	}
	length := len(r.Channels[0])
	for i, ch := range r.Channels {
		if len(ch) != length {
			return fmt.Errorf("channel %d has %d samples and channel 1 has %d", i+1, len(ch), length)
		}
	}
	if need := e.timing.Rise + 2*e.comb.Period + e.timing.Begin/2; length < need {
		seconds := func(samples int) float64 { return float64(samples) / float64(r.Rate) }
		return fmt.Errorf("a recording of %.1f s; at least %.1f s are needed to hear the sound twice", seconds(length), seconds(need))
	}
	return nil
}

// Read finds everything, one input after the other. It takes time linear in the
// number of pairs and in T log T of the period.
func (e *Ear) Read(r Recording) (*Reading, error) {
	if err := e.Check(r); err != nil {
		return nil, err
	}
	fitting := e.Fit(r)
	reading := &Reading{Rate: r.Rate, Clock: fitting.Clock}
	for _, ch := range r.Channels {
		paths, input := e.Listen(ch, fitting)
		reading.Paths = append(reading.Paths, paths)
		reading.Inputs = append(reading.Inputs, input)
	}
	return reading, nil
}

// Fit finds where the sound is and how the clocks ran. It is the same for all
// inputs of a recording.
func (e *Ear) Fit(r Recording) Fitting {
	f := Fitting{Begin: e.locate(r)}
	f.Clock = e.clock(r, e.window(f, len(r.Channels[0])))
	return f
}

// window is where the two periods that are read begin: as late after the sound
// has become steady as it is early before its end, so that a start that was
// found a quarter of a period off does no harm.
func (e *Ear) window(f Fitting, length int) int {
	at := f.Begin + e.comb.Period*5/4
	return max(0, min(at, length-2*e.comb.Period-guard))
}

// Listen reads one input.
func (e *Ear) Listen(samples []float32, f Fitting) ([]Path, Input) {
	at := e.window(f, len(samples))
	steady := e.best(samples, at, f.Clock)
	v := e.view(steady)
	paths := make([]Path, e.comb.Outputs)
	for out := range paths {
		paths[out] = e.path(v, e.comb.Shares[out], at)
	}
	e.gaps(v, paths)
	return paths, e.input(samples, v, f, paths)
}
