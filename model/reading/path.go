package reading

import (
	"math"
	"math/cmplx"

	"bayhand/model/tones"
)

// contrary is the height of a peak of the other sign, as a part of the highest,
// above which polarity is not clear.
const contrary = 0.8

// straight is the coherence below which a path is smeared. A weak path is not called so as
// long as noise would explain it: its level would be that of the noise.
const straight = 0.5

// path reads one output in a view that begins at a sample of the recording.
func (e *Ear) path(v *view, share []tones.Tone, at int) Path {
	p, found := e.find(v, share)
	path := Path{Found: found, Statistic: math.Abs(p.value), Out: -1}
	if !found {
		return path
	}
	lines, energy := v.bare(share)
	lag := e.refine(lines, p)
	gain := 0.0
	for _, l := range lines {
		gain += real(l.cross * cmplx.Rect(1, e.angle(l.bin)*lag))
	}
	gain /= energy
	power, scatter := v.power(share, energy, gain*gain, len(e.comb.Shares)-e.comb.Outputs)
	path.Delay = e.delay(lag, at)
	path.Coherence = min(1, gain*gain/max(power, least))
	path.Smeared = gain*gain < straight*(power-scatter)
	path.Level = tones.Decibel(math.Abs(gain) / e.level)
	if path.Smeared {
		path.Level = tones.Decibel(math.Sqrt(power) / e.level)
	}
	path.Polarity = polarity(gain, p, path.Smeared)
	path.Low, path.High = e.band(v, share)
	return path
}

// power is the power of a share as heard against as made, with the noise taken off: the
// square of a gain. It scatters by the noise in the tones of the share, and by that of the
// silent ones, of which there are silent for each of them; scatter is one deviation where
// straight of it is a straight copy.
//
// The mean of around silent tones has the distribution of Gamma, by which the mean of its
// inverse is too high by around/(around-1). Over hundreds of tones that would be more than
// a weak path.
func (v *view) power(share []tones.Tone, energy, copied float64, silent int) (power, scatter float64) {
	const fair = (around - 1.0) / around
	for _, t := range share {
		power += fair*square(v.mean[t.Bin])/v.noise[t.Bin] - 1
	}
	energy *= fair
	deviation := math.Sqrt(float64(len(share))*(1+1/float64(silent)) + 2*copied*energy)
	return max(0, power/energy), deviation / energy
}

// refine goes from a whole lag to the peak between the samples, by Newton's way
// on the slope of the phases.
func (e *Ear) refine(lines []line, p peak) float64 {
	lag, sign := p.lag, math.Copysign(1, p.value)
	for range 6 {
		first, second := 0.0, 0.0
		for _, l := range lines {
			w := e.angle(l.bin)
			c := l.cross * cmplx.Rect(sign, w*lag)
			first -= w * imag(c)
			second -= w * w * real(c)
		}
		if second >= 0 {
			return p.lag
		}
		step := first / second
		if math.Abs(lag-step-p.lag) > 1.5 {
			return p.lag
		}
		lag -= step
	}
	return lag
}

// delay is a lag of the two periods as a delay from the moment of playing, had
// the recording begun with it.
func (e *Ear) delay(lag float64, at int) float64 {
	period := float64(e.comb.Period)
	d := math.Mod(lag+float64(at-e.timing.Begin), period)
	if d < -period/64 {
		d += period
	}
	// A device that takes its own way off may be a little early.
	if d > period-period/64 {
		d -= period
	}
	return d
}

func polarity(gain float64, p peak, smeared bool) Polarity {
	switch {
	case smeared || p.opposite > contrary*math.Abs(p.value):
		return Unclear
	case gain > 0:
		return Kept
	}
	return Reversed
}
