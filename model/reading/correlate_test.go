package reading_test

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"

	"bayhand/model/reading"
	"bayhand/model/tones"
)

// correlator correlates with codes of one length that go round.
type correlator struct {
	period int
	fft    *fourier.FFT
	codes  [][]complex128
}

func newCorrelator(codes ...[]float64) *correlator {
	c := &correlator{period: len(codes[0])}
	n := 1
	for n < 2*c.period-1 {
		n *= 2
	}
	c.fft = fourier.NewFFT(n)
	for _, code := range codes {
		lines := c.spectrum(code)
		for i, v := range lines {
			lines[i] = complex(real(v), -imag(v)) / complex(float64(n)*float64(c.period), 0)
		}
		c.codes = append(c.codes, lines)
	}
	return c
}

// spectrum is that of one period of samples, with silence after it.
func (c *correlator) spectrum(samples []float64) []complex128 {
	padded := make([]float64, c.fft.Len())
	copy(padded, samples)
	return c.fft.Coefficients(nil, padded)
}

// lags is the mean of what is heard, by its spectrum, times a code that is later by each
// number of samples from 0 to the period.
func (c *correlator) lags(code int, heard []complex128) []float64 {
	product := make([]complex128, len(heard))
	for i, v := range heard {
		product[i] = v * c.codes[code][i]
	}
	series := c.fft.Sequence(nil, product)
	for lag := 1; lag < c.period; lag++ {
		series[lag] += series[len(series)-c.period+lag]
	}
	return series[:c.period]
}

// converted is a period of samples as a converter plays it, up to 20 kHz, and of 1 rms: what
// comes out of a socket never has two values only. The filter is a sinc under the window of
// Kaiser.
func converted(samples []float64) []float64 {
	const taps, edge = 32, 2 * tones.Highest / 48000
	n, made, power := len(samples), make([]float64, len(samples)), 0.0
	round := slices.Concat(samples[n-taps:], samples, samples[:taps])
	var filter [2*taps + 1]float64
	for k := range filter {
		x := float64(k - taps)
		filter[k] = edge * kaiser[int(math.Abs(x)*100)]
		if x != 0 {
			filter[k] *= math.Sin(math.Pi*edge*x) / (math.Pi * edge * x)
		}
	}
	for i := range made {
		for k, h := range filter {
			made[i] += h * round[i+k]
		}
		power += made[i] * made[i]
	}
	for i := range made {
		made[i] /= math.Sqrt(power / float64(n))
	}
	return made
}

// peaks looks for each output at a part of what its receiver has made. The statistic is the
// highest value there, beside the middle of all, in units of how far two thirds of all lie
// from it: of noise that is its deviation, whatever peaks stand in it.
func peaks(series []float64, outputs int, part func(out int) (from, to int)) []reading.Path {
	var some []float64
	for i := 0; i < len(series); i += 1 + len(series)/8192 {
		some = append(some, series[i])
	}
	slices.Sort(some)
	middle := some[len(some)/2]
	for i, x := range some {
		some[i] = math.Abs(x - middle)
	}
	slices.Sort(some)
	deviation := some[len(some)*6827/10000] + 1e-15
	paths := make([]reading.Path, outputs)
	for out := range paths {
		from, to := part(out)
		for i := from; i < to; i++ {
			x := series[(i+len(series))%len(series)]
			paths[out].Statistic = max(paths[out].Statistic, math.Abs(x-middle)/deviation)
		}
		paths[out].Found = paths[out].Statistic >= reading.Threshold
	}
	return paths
}
