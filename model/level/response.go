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
// cables; false position with the Illinois rule does the rest (Dowell and Jarratt
// 1971), over the logarithm of the frequency.
func corner(magnitude func(hertz float64) float64) (hertz float64, ok bool) {
	whole := magnitude(0)
	if whole <= 0 {
		return 0, false
	}
	excess := func(f float64) float64 {
		m := magnitude(f) / whole
		return math.Log(2*m*m + math.SmallestNonzeroFloat64)
	}
	if excess(farthest) > 0 {
		return 0, false
	}
	low, high := bracket(excess, guess(magnitude(treble)/whole))
	for kept := 0; high.f/low.f > 1+nearEnough; {
		f := math.Exp((math.Log(low.f)*high.excess - math.Log(high.f)*low.excess) / (high.excess - low.excess))
		if !(f > low.f && f < high.f) {
			f = math.Sqrt(low.f * high.f)
		}
		at := trial{f, excess(f)}
		switch {
		case math.Abs(at.excess) < nearEnough/10:
			return f, true
		case at.excess > 0:
			low, kept = at, max(kept, 0)+1
			if kept > 1 {
				high.excess /= 2
			}
		default:
			high, kept = at, min(kept, 0)-1
			if kept < -1 {
				low.excess /= 2
			}
		}
	}
	return math.Sqrt(low.f * high.f), true
}

// nearEnough is how near the ends of a bracket come, as a part of a frequency.
const nearEnough = 4e-6

// trial is a frequency with the logarithm of twice the power there, as a part of
// that at 0 Hz: over 0 below the corner.
type trial struct{ f, excess float64 }

// guess is the corner of a single pole with a magnitude at 20 kHz.
func guess(magnitude float64) float64 {
	if magnitude <= 0 || magnitude >= 1 {
		return farthest
	}
	return min(treble/math.Sqrt(1/(magnitude*magnitude)-1), farthest)
}

// bracket goes up and down from a guess until the corner is between both.
func bracket(excess func(float64) float64, from float64) (low, high trial) {
	try := func(f float64) trial { return trial{f, excess(f)} }
	low, high = try(from/(1+nearEnough/3)), try(from*(1+nearEnough/3))
	for step := 1.01; high.excess > 0 && high.f < farthest; step *= step {
		low, high = high, try(min(high.f*step, farthest))
	}
	for step := 1.01; low.excess < 0 && low.f > 1e-3; step *= step {
		low, high = try(low.f/step), low
	}
	return low, high
}

// decibel is a magnitude in dB; what is next to nothing is nothing's floor.
func decibel(magnitude float64) float64 {
	return 20 * math.Log10(max(magnitude, 1e-10))
}
