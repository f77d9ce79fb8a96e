package reading

import (
	"math"
	"math/cmplx"

	"bayhand/model/tones"
)

// humAbove is how far a line stands above the noise around it to be called hum,
// in dB: noise does it once in 5e8.
const humAbove = 13.0

// hum reads the harmonics of 50 and of 60 Hz in the two periods that are read
// and returns those of the room's mains, or of the louder ones where nobody said which. No tone stands near them: with a window
// of Hann over both periods none leaks into their bins.
func (e *Ear) hum(v *view) []Line {
	spectrum := e.windowed(v.steady.samples)
	if e.mains != 0 {
		return e.harmonics(v, spectrum, float64(e.mains))
	}
	fifty, sixty := e.harmonics(v, spectrum, 50), e.harmonics(v, spectrum, 60)
	if sum(sixty) > sum(fifty) {
		return sixty
	}
	return fifty
}

func sum(lines []Line) float64 {
	total := 0.0
	for _, l := range lines {
		total += math.Pow(10, l.Level/10)
	}
	return total
}

// windowed is the spectrum of two periods through a window of Hann, such that a
// bin holds the amplitude of a tone on it.
func (e *Ear) windowed(samples []float32) []complex128 {
	n := float64(len(samples))
	windowed := make([]float64, len(samples))
	for i, x := range samples {
		windowed[i] = float64(x) * (1 - math.Cos(2*math.Pi*float64(i)/n)) * 2 / n
	}
	return e.double.Coefficients(nil, windowed)
}

func (e *Ear) harmonics(v *view, spectrum []complex128, mains float64) []Line {
	var found []Line
	for f := mains; f < tones.HumBelow; f += mains {
		place := f / e.comb.Step()
		amplitude := interpolate(spectrum, 2*place)
		if power := amplitude * amplitude; power > v.noise[int(math.Round(place))]*math.Pow(10, humAbove/10) {
			found = append(found, Line{f, decibel(power / 2)})
		}
	}
	return found
}

// interpolate is the amplitude of a line between two bins, by the ratio of both:
// for the window of Hann that is exact (Rife and Vincent, Use of the discrete
// Fourier transform in the measurement of frequencies and levels of tones, 1970:
// from memory).
func interpolate(spectrum []complex128, place float64) float64 {
	low := int(math.Floor(place))
	near, far := cmplx.Abs(spectrum[low]), cmplx.Abs(spectrum[low+1])
	if far > near {
		near, far = far, near
	}
	if near == 0 {
		return 0
	}
	ratio := far / near
	off := (2*ratio - 1) / (ratio + 1)
	if off < 1e-6 {
		return near
	}
	return near * math.Pi * off * (1 - off*off) / math.Sin(math.Pi*off)
}
