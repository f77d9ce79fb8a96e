package reading

import (
	"math"

	"gonum.org/v1/gonum/dsp/fourier"

	"bayhand/model/tones"
)

// Limits of a sweep that is found: how far its peak stands above the noise of the same
// filter in the silence before, and how far under the highest of the input's slots, dB.
const (
	slotAbove = 8.0
	slotGate  = 30.0
	slotHigh  = 180.0 // hertz; what is lower is left out
)

// Slots reads recordings of outputs that played sweeps one after the other. A slot is the
// time of one output. It keeps what it works with, and is for one goroutine.
type Slots struct {
	sweeps *tones.Sweeps
	level  float64
	fft    *fourier.FFT
	// filter is the sweep's spectrum, turned back, such that its peak is the gain.
	filter []complex128
	energy float64
	series []float64
	lines  []complex128
	// early and late are the ends of the lags that are looked at, in samples.
	early, late int
}

// NewSlots makes one for sweeps that were played at a level in dBFS rms.
func NewSlots(s *tones.Sweeps, level float64) *Slots {
	second := func(t float64) int { return int(math.Round(t * float64(s.Rate))) }
	e := &Slots{sweeps: s, level: tones.Ratio(level), early: second(tones.SlotEarly), late: second(tones.SlotSeconds - tones.SlotEarly)}
	n := 1
	for n < e.early+e.late+2*len(s.Wave) {
		n *= 2
	}
	e.fft, e.series, e.lines = fourier.NewFFT(n), make([]float64, n), make([]complex128, n/2+1)
	copy(e.series, s.Wave)
	for _, v := range s.Wave {
		e.energy += v * v
	}
	e.filter = e.fft.Coefficients(nil, e.series)
	for k, x := range e.filter {
		e.filter[k] = complex(real(x), -imag(x)) * complex(1/(e.energy*e.level*float64(n)), 0)
		if float64(k)*float64(s.Rate)/float64(n) < slotHigh {
			e.filter[k] = 0
		}
	}
	return e
}

// Listen reads one input: the path from each output. It takes the time of a transform
// for each.
func (e *Slots) Listen(samples []float32) ([]Path, Input) {
	paths := make([]Path, e.sweeps.Outputs)
	noise := e.noise(samples)
	highest := 0.0
	for slot := range paths {
		paths[slot] = e.slot(samples, slot, noise)
		highest = max(highest, tones.Ratio(paths[slot].Level)*float64(btoi(paths[slot].Found)))
	}
	for slot := range paths {
		if paths[slot].Found && tones.Ratio(paths[slot].Level) < highest*tones.Ratio(-slotGate) {
			paths[slot] = Path{Statistic: paths[slot].Statistic} // a tail, or a harmonic, of a louder one
		}
	}
	return paths, e.input(samples)
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// filtered is what the filter makes of samples from a place on: the gain of a sweep that
// begins at each of so many of them.
func (e *Slots) filtered(samples []float32, from, lags int) []float64 {
	clear(e.series)
	for i := range lags + len(e.sweeps.Wave) {
		if at := from + i; at >= 0 && at < len(samples) {
			e.series[i] = float64(samples[at])
		}
	}
	e.lines = e.fft.Coefficients(e.lines, e.series)
	for k := range e.lines {
		e.lines[k] *= e.filter[k]
	}
	return e.fft.Sequence(e.series, e.lines)[:lags]
}

// noise is the rms of what the filter makes of the silence before the first sweep.
func (e *Slots) noise(samples []float32) float64 {
	quiet := samples[:min(len(samples), e.sweeps.Start(0)-e.early/4)]
	lags := max(1, len(quiet)-len(e.sweeps.Wave))
	power := 0.0
	for _, x := range e.filtered(quiet, 0, lags) {
		power += x * x
	}
	return math.Sqrt(power/float64(lags)) + 1e-15
}

// slot reads the path of one output.
func (e *Slots) slot(samples []float32, slot int, noise float64) Path {
	start := e.sweeps.Start(slot)
	series := e.filtered(samples, start-e.early, e.early+e.late)
	at, opposite := 0, 0.0
	for i, x := range series {
		if math.Abs(x) > math.Abs(series[at]) {
			at = i
		}
	}
	for i, x := range series {
		if x*series[at] < 0 && (i < at-3 || i > at+3) {
			opposite = max(opposite, math.Abs(x))
		}
	}
	gain := series[at]
	p := Path{Statistic: math.Abs(gain) / noise, Out: -1}
	if p.Found = p.Statistic >= slotAbove; !p.Found {
		return p
	}
	p.Delay = float64(at-e.early) + vertex(series, at)
	power := e.power(samples, start)
	p.Coherence = min(1, gain*gain/max(power, least))
	p.Smeared = p.Coherence < straight
	p.Level = tones.Decibel(math.Abs(gain))
	switch {
	case p.Smeared:
		p.Level = tones.Decibel(math.Sqrt(power))
	case opposite > contrary*math.Abs(gain):
	case gain > 0:
		p.Polarity = Kept
	default:
		p.Polarity = Reversed
	}
	return p
}

// vertex is how far the peak of three samples lies from the middle one.
func vertex(series []float64, at int) float64 {
	if at == 0 || at+1 == len(series) {
		return 0
	}
	a, b, c := math.Abs(series[at-1]), math.Abs(series[at]), math.Abs(series[at+1])
	if bend := a - 2*b + c; bend < 0 {
		return (a - c) / 2 / bend
	}
	return 0
}

// power is the square of the gain by all that is heard in a slot from its sweep on,
// without the noise before the first and without what stands still.
func (e *Slots) power(samples []float32, start int) float64 {
	of := func(from, to int) float64 {
		part := samples[min(len(samples), max(0, from)):min(len(samples), max(0, to))]
		if len(part) == 0 {
			return 0
		}
		return math.Pow(10, level(part)/10)
	}
	length := e.late
	noise := of(0, e.sweeps.Start(0)-e.early/4)
	return max(0, of(start, start+length)-noise) * float64(length) / (e.energy * e.level * e.level)
}

// input is what is read of an input as a whole.
func (e *Slots) input(samples []float32) Input {
	first := e.sweeps.Start(0)
	in := Input{Noise: level(stretch(samples, 0, first-e.early/4)), Clipped: clipped(samples), Level: math.Inf(-1)}
	for slot := range e.sweeps.Outputs {
		at := e.sweeps.Start(slot)
		in.Level = max(in.Level, level(stretch(samples, at, at+len(e.sweeps.Wave))))
	}
	end := e.sweeps.Timing().Length
	tail := level(stretch(samples, end-e.early, end))
	in.Remains = tail > in.Noise+remainsAbove && tail > in.Level-remainsUnder
	return in
}
