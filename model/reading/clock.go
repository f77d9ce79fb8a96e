package reading

import (
	"math"
	"math/cmplx"
	"slices"

	"bayhand/model/tones"
)

// mostClock is how far two clocks may differ, in parts per million.
const mostClock = 600.0

// clock finds how much faster the recording's clock ran, from the input in which
// it is clearest, or the first in which it is as clear as can be. The sound repeats, so
// the second period that is read is the first one, later by as much as the clocks differ
// over a period.
func (e *Ear) clock(r Recording, at int) float64 {
	best, ppm := 0.0, 0.0
	for _, ch := range r.Channels {
		if clear, p := e.clockOf(ch, at); clear > best {
			best, ppm = clear, p
		}
		if best > clearest {
			break
		}
	}
	return ppm
}

// clearest is the height of the maximum from which no other input says more: what differs
// between the periods is 37 dB under the sound, and a clock is found to a hundredth of a
// part in a million.
const clearest = 0.9999

// clearly is the height of the maximum, as a part of what a steady sound gives,
// below which a clock is not believed: noise alone gives about 0.03.
const clearly = 0.1

func (e *Ear) clockOf(samples []float32, at int) (clear, ppm float64) {
	a := e.transform(samples[at : at+e.comb.Period])
	b := e.transform(samples[at+e.comb.Period : at+2*e.comb.Period])
	product := make([]complex128, e.comb.Period/2+1)
	total := 0.0
	for _, bin := range e.played {
		product[bin] = b[bin] * cmplx.Conj(a[bin])
	}
	limit(product, e.played)
	for _, bin := range e.played {
		total += cmplx.Abs(product[bin])
	}
	if total == 0 {
		return 0, 0
	}
	lag, height := e.highest(product)
	lag = e.climb(product, lag)
	if height/total < clearly {
		return 0, 0
	}
	return height / total, 1e6 * lag / float64(e.comb.Period)
}

// limit cuts products to their 99.8th hundredth, so that a whistle does not
// outweigh the rest.
func limit(product []complex128, bins []int) {
	sizes := make([]float64, len(bins))
	for i, bin := range bins {
		sizes[i] = cmplx.Abs(product[bin])
	}
	slices.Sort(sizes)
	most := sizes[len(sizes)*998/1000]
	for _, bin := range bins {
		if size := cmplx.Abs(product[bin]); size > most {
			product[bin] *= complex(most/size, 0)
		}
	}
}

// highest is the lag of the highest value of a product, in samples, among those
// that clocks can have.
func (e *Ear) highest(product []complex128) (lag, height float64) {
	series := e.fft.Sequence(e.series, product)
	reach := int(math.Ceil(mostClock * 1e-6 * float64(e.comb.Period)))
	for i := -reach; i <= reach; i++ {
		// Half, since the inverse holds each line and its mirror.
		if v := series[(i+len(series))%len(series)] / 2; v > height {
			lag, height = float64(i), v
		}
	}
	return lag, height
}

// climb goes from a lag to the maximum beside it by Newton's way.
func (e *Ear) climb(product []complex128, lag float64) float64 {
	for range 8 {
		first, second := 0.0, 0.0
		for _, bin := range e.played {
			w := 2 * math.Pi * float64(bin) / float64(e.comb.Period)
			v := product[bin] * cmplx.Rect(1, w*lag)
			first -= w * imag(v)
			second -= w * w * real(v)
		}
		if second >= 0 {
			break
		}
		step := max(-0.5, min(0.5, first/second))
		lag -= step
		if math.Abs(step) < 1e-7 {
			break
		}
	}
	return lag
}

// transform is the spectrum of one period, such that a tone's bin holds its line.
func (e *Ear) transform(samples []float32) []complex128 {
	for i, v := range samples {
		e.series[i] = float64(v)
	}
	spectrum := e.fft.Coefficients(nil, e.series)
	scale := complex(2/float64(len(samples)), 0)
	for i := range spectrum {
		spectrum[i] *= scale
	}
	return spectrum
}

// decibel is a power as a level.
func decibel(power float64) float64 { return tones.Decibel(math.Sqrt(power)) }
