package reading_test

import (
	"math"
	"math/cmplx"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// alternative is a test sound for all outputs at once, with the receiver that its textbook
// gives it. Every one is as loud, within the same band, and decides by the same Threshold.
type alternative struct {
	timing tones.Timing
	wave   func(output int) []float64
	read   func(samples []float32) []reading.Path
}

// Wave is what an output plays. Of a long sound all of them at once are too many to hold.
func (a *alternative) Wave(output int) []float64 { return a.wave(output) }

// alternatives are the sounds that were weighed; the last is the one that is played.
var alternatives = []struct {
	name string
	make func(outputs int) *alternative
}{
	{"m-sequence 17, shifts", shifts},
	{"Gold 17", func(outputs int) *alternative { return codeEach(gold(outputs, maximal17()), 3) }},
	{"Kasami 16", func(outputs int) *alternative { return codeEach(kasami(outputs, maximal16()), 4) }},
	{"m-sequence 13 x Walsh", spread13},
	{"sweeps, slots of 0.15 s", slotted},
	{"comb, regular, low crest", func(outputs int) *alternative { return combed(regularComb(outputs, true)) }},
	{"comb, regular, random phases", func(outputs int) *alternative { return combed(regularComb(outputs, false)) }},
	{"comb, random, silent shares", func(outputs int) *alternative { return combed(randomComb(outputs)) }},
}

// early is how far before its place a peak may lie, in samples: the ringing of filters
// before it. At a sweep's lower end it is longer.
const early, sweepEarly = 96, 960

// going is the sound of waves that go round, of a period in samples.
func going(period, periods int, wave func(output int) []float64) *alternative {
	a := &alternative{wave: wave}
	a.timing = tones.Timing{Begin: 24000, Rise: 12000, Fall: 2400}
	a.timing.End = a.timing.Begin + periods*period
	a.timing.Length = a.timing.End + a.timing.Fall + 48000
	return a
}

// steady is the mean of the second and the third period of a sound.
func (a *alternative) steady(samples []float32, period int) []float64 {
	mean := make([]float64, period)
	for i := range mean {
		at := min(a.timing.Begin+period, len(samples)-2*period) + i
		mean[i] = (float64(samples[at]) + float64(samples[at+period])) / 2
	}
	return mean
}

// shifts plays one sequence of maximal length, later by an equal part of it for each output;
// an output is where its part of the correlation has a peak.
func shifts(outputs int) *alternative {
	code := chips(maximal17())
	wave, part := converted(code), len(code)/outputs
	a, c := going(len(code), 3, func(out int) []float64 {
		return slices.Concat(wave[len(wave)-out*part:], wave[:len(wave)-out*part])
	}), newCorrelator(code)
	a.read = func(samples []float32) []reading.Path {
		series := c.lags(0, c.spectrum(a.steady(samples, c.period)))
		return peaks(series, outputs, func(out int) (int, int) { return out*part - early, (out+1)*part - early })
	}
	return a
}

// codeEach plays a code for each output, and correlates with each.
func codeEach(bits [][]byte, periods int) *alternative {
	var codes [][]float64
	for _, b := range bits {
		codes = append(codes, chips(b))
	}
	a := going(len(codes[0]), periods, func(out int) []float64 { return converted(codes[out]) })
	c := newCorrelator(codes...)
	a.read = func(samples []float32) (paths []reading.Path) {
		heard := c.spectrum(a.steady(samples, c.period))
		for code := range codes {
			paths = append(paths, peaks(c.lags(code, heard), 1, func(int) (int, int) { return 0, c.period })...)
		}
		return paths
	}
	return a
}

// spread13 plays as many periods of a sequence of maximal length as there are outputs, which
// is a power of two, with the signs of a row of Walsh's functions for each; the receiver takes
// the signs away, adds the periods up and correlates.
func spread13(outputs int) *alternative {
	code := chips(maximal13())
	a, c := going(outputs*len(code), 4, func(out int) []float64 {
		signed := make([]float64, outputs*len(code))
		for i := range signed {
			signed[i] = code[i%len(code)] * walsh(out, i/len(code))
		}
		return converted(signed)
	}), newCorrelator(code)
	a.read = func(samples []float32) (paths []reading.Path) {
		heard := a.steady(samples, outputs*len(code))
		for out := range outputs {
			sum := make([]float64, len(code))
			for i, x := range heard {
				sum[i%len(code)] += x * walsh(out, i/len(code))
			}
			paths = append(paths, peaks(c.lags(0, c.spectrum(sum)), 1, func(int) (int, int) { return 0, c.period })...)
		}
		return paths
	}
	return a
}

// slotted plays a short exponential sweep for each output, one after the other, and filters
// with the sweep played backwards and made louder by 6 dB an octave (Farina, Simultaneous
// measurement of impulse response and distortion with a swept-sine technique, 2000: from
// memory).
func slotted(outputs int) *alternative {
	const slot = 7200
	ratio := math.Log(tones.SweepTo / tones.SweepFrom)
	wave, inverse := make([]float64, slot), make([]float64, slot)
	for i := range wave {
		x := float64(i) / slot
		fade := math.Sin(math.Pi / 2 * min(1, x*10, (1-x)*10))
		wave[i] = math.Sqrt2 * fade * fade * math.Sin(2*math.Pi*tones.SweepFrom*slot/48000/ratio*(math.Exp(x*ratio)-1))
		inverse[i] = wave[i] * math.Exp(x*ratio)
	}
	a := &alternative{timing: tones.Timing{Begin: 24000}}
	a.timing.End = a.timing.Begin + outputs*slot
	a.timing.Length = a.timing.End + 48000
	a.wave = func(out int) []float64 {
		whole := make([]float64, outputs*slot)
		copy(whole[out*slot:], wave)
		return whole
	}
	n := 1
	for n < a.timing.Length+24000+slot {
		n *= 2
	}
	fft := fourier.NewFFT(n)
	filter := fft.Coefficients(nil, append(inverse, make([]float64, n-slot)...))
	a.read = func(samples []float32) []reading.Path {
		series := make([]float64, n)
		for i, x := range samples {
			series[i] = float64(x)
		}
		lines := fft.Coefficients(nil, series)
		for i := range lines {
			lines[i] *= cmplx.Conj(filter[i])
		}
		filtered := fft.Sequence(series, lines)[:len(samples)]
		return peaks(filtered, outputs, func(out int) (int, int) {
			from := a.timing.Begin + out*slot - sweepEarly
			return from, min(len(filtered), from+slot)
		})
	}
	return a
}
