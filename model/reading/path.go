package reading

import (
	"math"
	"math/cmplx"

	"bayhand/model/tones"
)

// contrary is the height of a peak of the other sign, as a part of the highest,
// above which polarity is not clear.
const contrary = 0.8

// straight is the coherence below which a path is smeared.
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
	power := v.power(share)
	path.Delay = e.delay(lag, at)
	path.Coherence = min(1, gain*gain/max(power, least))
	path.Smeared = path.Coherence < straight
	path.Level = tones.Decibel(math.Abs(gain) / e.level)
	if path.Smeared {
		path.Level = tones.Decibel(math.Sqrt(power) / e.level)
	}
	path.Polarity = polarity(gain, p, path.Smeared)
	path.Low, path.High = e.band(v, share)
	return path
}

// power is the power of a share as heard against as made, with the noise taken
// off: the square of a gain.
func (v *view) power(share []tones.Tone) float64 {
	heard, made := 0.0, 0.0
	for _, t := range share {
		n := v.noise[t.Bin]
		heard += (square(v.mean[t.Bin]) - n) / n
		made += square(t.Line) / n
	}
	return max(0, heard/made)
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
