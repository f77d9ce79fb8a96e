package reading

import "math"

// taps is the length of the sinc that samples between samples, and guard how
// much of the recording must stand around what is read.
const (
	taps  = 32
	guard = 128
)

// steady is the two periods that are read of one input, on the player's clock.
type steady struct {
	samples []float32
	// a and b are the spectra of the periods.
	a, b []complex128
}

// best is the two periods as they were recorded, or on the player's clock if
// that lowers what is in the silent tones by a tenth: between devices of one
// clock the recording is best left alone.
func (e *Ear) best(samples []float32, at int, ppm float64) steady {
	asIs := e.steady(samples[at : at+2*e.comb.Period])
	if math.Abs(ppm) < 0.02 {
		return asIs
	}
	moved := e.steady(retime(samples, at, 2*e.comb.Period, 1+ppm*1e-6))
	if e.silentPower(moved) < 0.9*e.silentPower(asIs) {
		return moved
	}
	return asIs
}

func (e *Ear) steady(samples []float32) steady {
	return steady{samples, e.transform(samples[:e.comb.Period]), e.transform(samples[e.comb.Period:])}
}

func (e *Ear) silentPower(s steady) float64 {
	sum := 0.0
	for _, bin := range e.silent {
		sum += square(s.a[bin] + s.b[bin])
	}
	return sum
}

func square(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// retime samples a stretch anew at steps of ratio, by a windowed sinc. Around
// the ends of the recording there is silence.
func retime(samples []float32, from, length int, ratio float64) []float32 {
	moved := make([]float32, length)
	for i := range moved {
		place := float64(from) + float64(i)*ratio
		whole := math.Floor(place)
		moved[i] = between(samples, int(whole), place-whole)
	}
	return moved
}

// between is the value at a fraction of a sample after a place. The window is
// that of Blackman.
func between(samples []float32, at int, fraction float64) float32 {
	if fraction == 0 && at >= 0 && at < len(samples) {
		return samples[at]
	}
	sin := math.Sin(math.Pi * fraction)
	turn, lean := math.Sincos(2 * math.Pi * fraction / taps)
	sum := 0.0
	for k := 1 - taps/2; k <= taps/2; k++ {
		if at+k < 0 || at+k >= len(samples) {
			continue
		}
		x := float64(k) - fraction
		// The cosine of 2 pi x/taps, by the cosine of a difference.
		c := turns[k+taps/2].cos*lean + turns[k+taps/2].sin*turn
		w := 0.42 + 0.5*c + 0.08*(2*c*c-1)
		sign := float64(1 - 2*(k&1))
		sum += float64(samples[at+k]) * w * -sign * sin / (math.Pi * x)
	}
	return float32(sum)
}

// turns holds the cosine and sine at whole samples from 1-taps/2 on, one place
// up.
var turns = func() (w [taps + 1]struct{ cos, sin float64 }) {
	for i := range w {
		w[i].sin, w[i].cos = math.Sincos(2 * math.Pi * float64(i-taps/2) / taps)
	}
	return w
}()
