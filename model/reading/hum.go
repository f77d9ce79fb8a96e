package reading

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/window"

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
// bin holds the amplitude of a tone on it. It is right below lowBand, where hum is.
func (e *Ear) windowed(samples []float32) []complex128 {
	windowed := make([]float64, len(samples))
	turn := cmplx.Rect(1, 2*math.Pi/float64(len(samples)))
	scale, at := 2*thinner/float64(len(samples)), complex(1, 0)
	for i, x := range samples {
		windowed[i] = float64(x) * (1 - real(at)) * scale
		at *= turn
	}
	return e.thin.Coefficients(nil, thinned(windowed))
}

// thinner is how many samples become one where only low frequencies are looked at: below
// lowBand, as a part of the rate, what is higher is 100 dB down.
const (
	thinner = 4
	lowBand = 0.025
)

// low is a filter of lowest frequencies by the window of Blackman and Nuttall, whose side
// lobes are 98 dB down: from 0.225 of the rate on nothing passes that would be taken for
// a frequency below lowBand once one sample in four is left.
var low = func() []float64 {
	const side = 20
	filter, sum := make([]float64, 2*side+1), 0.0
	for i := range filter {
		x := math.Pi * float64(i-side) / thinner
		if filter[i] = 1; x != 0 {
			filter[i] = math.Sin(x) / x
		}
	}
	window.BlackmanNuttall(filter)
	for _, v := range filter {
		sum += v
	}
	for i := range filter {
		filter[i] /= sum
	}
	return filter
}()

// thinned is one sample in thinner of a series, which goes round, through the filter.
func thinned(series []float64) []float64 {
	side := len(low) / 2
	round := append(append(append(make([]float64, 0, len(series)+2*side), series[len(series)-side:]...), series...), series[:side]...)
	few := make([]float64, len(series)/thinner)
	for i := range few {
		sum := 0.0
		for k, x := range round[i*thinner : i*thinner+len(low)] {
			sum += x * low[k]
		}
		few[i] = sum
	}
	return few
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
