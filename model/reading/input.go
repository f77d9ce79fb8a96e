package reading

import (
	"math"

	"bayhand/model/tones"
)

// Where the sound changes on its way, silent tones stand so far above the noise of
// the silence, and all that changed no further under the whole; in dB.
const (
	changesBy    = 6.0
	changesUnder = 60.0
)

// Limits of what remains after the sound: dB above the noise before it, and dB
// below the steady sound. Reverberation of two seconds has fallen by 22 dB.
const (
	remainsAbove = 6.0
	remainsUnder = 20.0
)

// Clipping is the level above which ten samples together are clipped.
const Clipping = -1.0

func (e *Ear) input(samples []float32, v *view, f Fitting, paths []Path) Input {
	quarter := e.timing.Begin / 2 // of a second, in the usual timing
	before := stretch(samples, f.Begin-quarter*3/2, f.Begin-quarter/8)
	after := stretch(samples, f.Begin+e.timing.Length-e.timing.Begin-quarter, f.Begin+e.timing.Length-e.timing.Begin)
	in := Input{Level: level(v.steady.samples), Noise: level(before), Clipped: clipped(samples), Hum: e.hum(v)}
	tail := level(after)
	in.Remains = len(after) > 0 && len(before) > 0 && tail > in.Noise+remainsAbove && tail > in.Level-remainsUnder
	if len(before) > 0 {
		silent := e.silentLevel(v)
		// A line for each bin adds up to what the whole band holds.
		all := silent + 10*math.Log10(float64(e.comb.Period)/4)
		in.Changes = silent > quiet(before, e)+changesBy && all > in.Level-changesUnder
	}
	in.Unnamed = len(before) > 0 && in.Level > in.Noise+remainsAbove && !anyFound(paths)
	return in
}

func anyFound(paths []Path) bool {
	for _, p := range paths {
		if p.Found {
			return true
		}
	}
	return false
}

// stretch is what there is of a stretch of the recording.
func stretch(samples []float32, from, to int) []float32 {
	from, to = max(0, from), min(len(samples), to)
	if to-from < 1000 {
		return nil
	}
	return samples[from:to]
}

// level is the rms of samples in dBFS, without what stands still; the least that
// can be told where there are none.
func level(samples []float32) float64 {
	mean, power := 0.0, 0.0
	for _, x := range samples {
		mean += float64(x)
		power += float64(x) * float64(x)
	}
	n := float64(max(1, len(samples)))
	return decibel(max(least, power/n-mean*mean/(n*n)))
}

func clipped(samples []float32) bool {
	limit, run := float32(tones.Ratio(Clipping)), 0
	for _, x := range samples {
		if x < limit && x > -limit {
			run = 0
			continue
		}
		if run++; run >= 10 {
			return true
		}
	}
	return false
}

// silentLevel is what the silent tones hold, as the mean power of a line in dB.
func (e *Ear) silentLevel(v *view) float64 {
	sum := 0.0
	for _, bin := range e.silent {
		sum += square(v.steady.a[bin]) + square(v.steady.b[bin])
	}
	return decibel(max(least, sum/float64(2*len(e.silent))))
}

// quiet is the same in the silence before the sound, whose shorter stretch is
// windowed and counted up to a whole period.
func quiet(samples []float32, e *Ear) float64 {
	fft := e.coarse
	samples = samples[:min(len(samples), fft.Len())]
	series, each := e.series[:fft.Len()], e.comb.Period/fft.Len()
	clear(series)
	windowed, n := 0.0, float64(len(samples))
	for i, x := range samples {
		w := 1 - math.Cos(2*math.Pi*(float64(i)+0.5)/n)
		series[i] = w * float64(x)
		windowed += w * w
	}
	spectrum := fft.Coefficients(e.spectrum[:fft.Len()/2+1], series)
	sum := 0.0
	for _, bin := range e.silent {
		sum += square(spectrum[bin/each])
	}
	// A line of white noise holds 4/T of its power; this spectrum counts windowed.
	return decibel(max(least, sum/float64(len(e.silent))*4/(windowed*float64(e.comb.Period))))
}
