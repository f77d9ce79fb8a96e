package reading

import (
	"math"
	"math/cmplx"

	"bayhand/model/tones"
)

// Threshold is the least statistic of a path that is there. On noise alone the
// tail of 173,152 decisions gives about 1e-9 at 8; normal theory with the noise
// known gives 65,536 x 2Q(8), 8e-11.
const Threshold = 8.0

// carriers is how many tones must carry a peak: modulation of a neighbour
// pushes power into a few.
const carriers = 12.0

// peak is the highest place of a correlation.
type peak struct {
	lag       float64 // samples
	value     float64 // signed, in units of its own noise
	opposite  float64 // the highest of the other sign, without its own
	carriedBy float64 // tones
}

// find looks for a share in a view. It searches the lower band first, and all
// of it where that band or the power in the tones says that there may be
// something.
func (e *Ear) find(v *view, share []tones.Tone) (peak, bool) {
	lines, energy := v.cut(share)
	if energy == 0 {
		return peak{}, false
	}
	if e.coarsely(lines, v, share) < 5 && !v.powerful(share) {
		return peak{}, false
	}
	p := e.finely(lines, energy)
	p.carriedBy = e.carried(lines, p)
	return p, math.Abs(p.value) >= Threshold && p.carriedBy >= carriers
}

// powerful says whether the tones of a share hold clearly more than noise, such
// as a path of high frequencies alone.
func (v *view) powerful(share []tones.Tone) bool {
	sum := 0.0
	for _, t := range share {
		sum += square(v.bright[t.Bin]) - 1
	}
	return sum/math.Sqrt(float64(len(share))) > 4
}

// coarsely is the highest statistic in the lower band.
func (e *Ear) coarsely(lines []line, v *view, share []tones.Tone) float64 {
	n := e.coarse.Len()
	spectrum := e.spectrum[:n/2+1]
	clear(spectrum)
	energy := 0.0
	for i, l := range lines {
		if e.comb.Frequency(l.bin) >= coarseBand {
			break
		}
		spectrum[l.bin] = l.cross
		energy += square(share[i].Line) / v.noise[l.bin]
	}
	if energy == 0 {
		return 0
	}
	most := 0.0
	for _, x := range e.coarse.Sequence(e.series[:n], spectrum) {
		most = max(most, math.Abs(x))
	}
	return most / 2 / math.Sqrt(energy/2)
}

// finely is the highest peak over the whole band, and the highest of the other
// sign that is not its neighbour.
func (e *Ear) finely(lines []line, energy float64) peak {
	clear(e.spectrum)
	for _, l := range lines {
		e.spectrum[l.bin] = l.cross
	}
	series := e.fft.Sequence(e.series, e.spectrum)
	unit := 2 * math.Sqrt(energy/2) // half, since the inverse holds each line and its mirror
	p := peak{}
	for i, x := range series {
		if math.Abs(x)/unit > math.Abs(p.value) {
			p.lag, p.value = float64(i), x/unit
		}
	}
	for i, x := range series {
		apart := math.Abs(math.Remainder(float64(i)-p.lag, float64(len(series))))
		if x*p.value < 0 && apart > 3 {
			p.opposite = max(p.opposite, math.Abs(x)/unit)
		}
	}
	return p
}

// carried is how many tones share the peak's height: the square of the sum of
// their contributions over the sum of the squares.
func (e *Ear) carried(lines []line, p peak) float64 {
	sum, squares := 0.0, 0.0
	for _, l := range lines {
		c := real(l.cross * cmplx.Rect(1, e.angle(l.bin)*p.lag))
		sum += c
		squares += c * c
	}
	if squares == 0 {
		return 0
	}
	return sum * sum / squares
}

// angle is a bin's frequency in radians a sample.
func (e *Ear) angle(bin int) float64 {
	return 2 * math.Pi * float64(bin) / float64(e.comb.Period)
}
