package level

import (
	"math"
	"math/cmplx"

	"bayhand/model/studio"
)

// Frequencies in hertz at which levels are told, and up to which a corner is
// looked for: beyond it a cable is no lumped network.
const (
	reference = 1e3
	treble    = 20e3
	farthest  = 1e6
)

// response is what one output does at all inputs of its net, with one stage
// taken for the outputs that do not say theirs.
type response struct {
	legs *legs
	net  *net
	// at holds |H| at each input, by frequency.
	at map[float64][]float64
}

func newResponse(n *net, output int, unsaid studio.Stage) *response {
	return &response{legs: n.assemble(output, unsaid), net: n, at: map[float64][]float64{}}
}

// magnitude is |H| at an input. All inputs of a frequency are solved at once and
// kept where the frequency is one of those that are told.
func (r *response) magnitude(input int, hertz float64) float64 {
	if known, ok := r.at[hertz]; ok {
		return known[input]
	}
	v := r.legs.circuit.voltages(hertz)
	if hertz != 0 && hertz != reference && hertz != treble {
		return cmplx.Abs(r.legs.across(r.net.inputs[input], v))
	}
	all := make([]float64, len(r.net.inputs))
	for i, in := range r.net.inputs {
		all[i] = cmplx.Abs(r.legs.across(in, v))
	}
	r.at[hertz] = all
	return all[input]
}

// corner is the frequency in hertz at which a response is half of its power at
// 0 Hz; ok is false where it is beyond what is looked at. The first guess is
// that of a single pole, which is exact for a net without resistance in its
// cables; bisection does the rest.
func corner(magnitude func(hertz float64) float64) (hertz float64, ok bool) {
	whole := magnitude(0)
	if whole <= 0 {
		return 0, false
	}
	above := func(f float64) bool { m := magnitude(f) / whole; return m*m > 0.5 }
	if above(farthest) {
		return 0, false
	}
	low, high := bracket(above, guess(magnitude(treble)/whole))
	for high/low > 1+1e-7 {
		if middle := math.Sqrt(low * high); above(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Sqrt(low * high), true
}

// guess is the corner of a single pole with a magnitude at 20 kHz.
func guess(magnitude float64) float64 {
	if magnitude <= 0 || magnitude >= 1 {
		return farthest
	}
	return min(treble/math.Sqrt(1/(magnitude*magnitude)-1), farthest)
}

// bracket goes up and down from a guess until the corner is between both.
func bracket(above func(float64) bool, from float64) (low, high float64) {
	const near = 1 + 1e-6 // a guess that is exact is bracketed at once
	low, high = from/near, from*near
	for step := 1.01; above(high) && high < farthest; step *= step {
		low, high = high, min(high*step, farthest)
	}
	for step := 1.01; !above(low) && low > 1e-3; step *= step {
		low, high = low/step, low
	}
	return low, high
}

// decibel is a magnitude in dB; what is next to nothing is nothing's floor.
func decibel(magnitude float64) float64 {
	return 20 * math.Log10(max(magnitude, 1e-10))
}
