package reading

import (
	"math"

	"bayhand/model/tones"
)

// view is one input, ready for each of its paths to be looked for.
type view struct {
	steady steady
	// mean is the spectrum of the two periods together.
	mean []complex128
	// noise is at each bin the mean power of the silent tones around it.
	noise []float64
	// bright is the spectrum in units of the noise, each line cut to brightest.
	bright []complex128
}

// around is how many silent tones say the noise at a frequency.
const around = 24

// brightest is the most power that a line counts for, in units of the noise:
// hum and whistles weigh little.
const brightest = 20.0

func (e *Ear) view(s steady) *view {
	v := &view{steady: s, mean: make([]complex128, len(s.a))}
	for i := range v.mean {
		v.mean[i] = (s.a[i] + s.b[i]) / 2
	}
	v.noise = e.noise(v.mean)
	v.bright = make([]complex128, len(v.mean))
	for _, share := range e.comb.Shares {
		for _, t := range share {
			z := v.mean[t.Bin] / complex(math.Sqrt(v.noise[t.Bin]), 0)
			if p := square(z); p > brightest {
				z *= complex(math.Sqrt(brightest/p), 0)
			}
			v.bright[t.Bin] = z
		}
	}
	return v
}

// least is a power below that of any converter, so that digital silence can be
// divided by: -240 dBFS in each line.
const least = 1e-24

// noise is for every bin the mean of the silent tones nearest to it.
func (e *Ear) noise(spectrum []complex128) []float64 {
	sums := make([]float64, len(e.silent)+1)
	for i, bin := range e.silent {
		sums[i+1] = sums[i] + square(spectrum[bin])
	}
	noise := make([]float64, len(spectrum))
	next := 0 // of the silent tones
	for bin := range noise {
		for next < len(e.silent) && e.silent[next] < bin {
			next++
		}
		from := max(0, min(next-around/2, len(e.silent)-around))
		to := min(len(e.silent), from+around)
		noise[bin] = (sums[to]-sums[from])/float64(to-from) + least
	}
	return noise
}

// line is the cross power of a share with what was heard, at one tone.
type line struct {
	bin   int
	cross complex128
}

// spectral gives for a share, with the noise of a view, the cross lines as they
// are in units of noise, and the energy of the share in the same.
func (v *view) bare(share []tones.Tone) (lines []line, energy float64) {
	for _, t := range share {
		n := v.noise[t.Bin]
		lines = append(lines, line{t.Bin, v.mean[t.Bin] * conj(t.Line) / complex(n, 0)})
		energy += square(t.Line) / n
	}
	return lines, energy
}

// cut is the same with each line cut to brightest.
func (v *view) cut(share []tones.Tone) (lines []line, energy float64) {
	for _, t := range share {
		root := math.Sqrt(v.noise[t.Bin])
		lines = append(lines, line{t.Bin, v.bright[t.Bin] * conj(t.Line) / complex(root, 0)})
		energy += square(t.Line) / v.noise[t.Bin]
	}
	return lines, energy
}

func conj(z complex128) complex128 { return complex(real(z), -imag(z)) }
